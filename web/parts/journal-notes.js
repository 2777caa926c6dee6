// What is the matter with what the board keeps, on every screen of a day: a copy was put in its place,
// or this day's record is damaged. <${JournalNotes} app=${app} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Mark } from './pictures.js';

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
  return html`${app.putBack && html`<${PutBack} app=${app} />`}
  ${app.view?.damage && html`<${Damage} app=${app} />`}`;
}
