// What is the matter with what the board keeps, on every screen of a day: its disk takes no writes,
// a copy was put in its place, or this day's record is damaged. <${JournalNotes} app=${app} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { isReadOnly } from '../core/board.js';
import { Mark } from './pictures.js';

/** For so long it is said that the disk works again. */
const AGAIN_SAID_MS = 10_000;

/** How the disk of the board takes writes, while that is worth saying. */
function DiskNote({ app }) {
  const { writes, since } = app.disk ?? {};
  if (isReadOnly(app))
    return html`<p class="caution caution-danger" role="alert">
      <${Mark} of="danger" /><span>${t(writes === 'full' ? 'disk.full' : 'disk.fails')}</span>
    </p>`;
  if (!since || app.monotonic() - since > AGAIN_SAID_MS) return null;
  return html`<p class="note-line" role="status"><${Mark} of="done" />${t('disk.works')}</p>`;
}

function PutBack({ app }) {
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${t('journal.put-back')}</strong></p>
      <p>${t('journal.put-back-do')}</p>
      <div class="row">
        <button type="button" class="button" onClick=${app.sawPutBack}>
          ${t('journal.put-back-seen')}
        </button>
      </div>
    </div>
  </div>`;
}

function Damage({ app }) {
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${t('journal.damage', { n: app.view.damage.after + 1 })}</strong></p>
      <p>${t(app.lead ? 'journal.damage-lead' : 'journal.damage-do')}</p>
    </div>
  </div>`;
}

export function JournalNotes({ app }) {
  return html`<${DiskNote} app=${app} />
  ${app.putBack && html`<${PutBack} app=${app} />`}
  ${app.view?.damage && html`<${Damage} app=${app} />`}`;
}
