// Writing something down about the day, a lot, a load, a station or a product.
// <${NoteForm} app=${app} on=${{ about: 'station', id: 'wash' }} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { timeOfDay } from '../core/format.js';
import { entriesOf } from '../core/flow.js';
import { TextField } from './fields.js';
import { OrderForm } from './order-form.js';

const same = (a, b) => a?.about === b.about && a?.id === b.id;

/** What was written so far, and a line for more. */
export function NoteForm({ app, on }) {
  const [text, setText] = useState('');
  const [fresh, setFresh] = useState(0);
  const notes = entriesOf(app.view.day?.notes).filter(([, note]) => same(note.on, on));
  const build = () => (text.trim() ? { order: 'note', on, text: text.trim() } : t('note.say-what'));
  return html`${
      notes.length > 0 &&
      html`<ul class="notes">
        ${notes.map(
          ([id, note]) =>
            html`<li key=${id}>
              <small class="soft">${timeOfDay(note.at)}</small> ${note.text}
            </li>`,
        )}
      </ul>`
    }
    <${OrderForm}
      key=${fresh}
      app=${app}
      button=${t('note.do')}
      build=${build}
      onDone=${() => {
        setText('');
        setFresh(fresh + 1);
      }}
    >
      <${TextField} label=${t('note.text')} value=${text} onValue=${setText} maxlength="200"
    /><//>`;
}
