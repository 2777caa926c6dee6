// A key for a program of the household's own, shown once. <${ScriptKey} app onMade=${load} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { TextField } from '../fields.js';
import { Problem } from '../problem.js';
import { Fold } from '../sheet.js';

/** `onMade()` is called when there is a new one. */
export function ScriptKey({ app, onMade }) {
  const [name, setName] = useState('');
  const [helps, setHelps] = useState(false);
  const [answer, setAnswer] = useState(null);
  async function make(event) {
    event.preventDefault();
    const given = await app.post('/api/devices', { name, role: helps ? 'helper' : 'watcher' });
    setAnswer(given);
    if (given.status === 201) onMade();
  }
  return html`<section aria-label=${t('access.key')}>
    <h3>${t('access.key')}</h3>
    <p class="soft">${t('access.key-about')}</p>
    <${Fold} title=${t('access.key-make')}>
      <form class="order-form" onSubmit=${make}>
        <${TextField} label=${t('access.key-name')} value=${name} onValue=${setName} maxlength="24" />
        <label class="check"
          ><input type="checkbox" checked=${helps} onChange=${() => setHelps(!helps)} /><span
            >${t('access.key-helps')}</span
          ></label
        >
        <button class="button">${t('access.key-make')}</button>
      </form>
      ${
        answer?.status === 201 &&
        html`<p role="status">${t('access.key-made')}</p>
          <p class="access-text">${answer.body.token}</p>`
      }
      ${
        answer &&
        answer.status !== 201 &&
        html`<${Problem} app=${app} problem=${answer.body ?? { detail: t('access.away') }} />`
      }<//
    >
  </section>`;
}
