// The lead's column in full: everything that presses, every chore.
// <${PressingSheet} app=${app} onClose=${close} /> <${ChoresSheet} app=${app} onClose=${close} onOpen=${show} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { AskFor, ChoreList } from './chores.js';
import { Fold, Sheet } from './sheet.js';
import { pressingItems, sealItems, supplyItems } from './side.js';

/** Warnings and timers, most urgent first. */
export function PressingSheet({ app, onClose }) {
  return html`<${Sheet} app=${app} title=${t('side.now')} onClose=${onClose}>
    <ul class="timers">
      ${pressingItems(app).map(({ key, node }) => html`<li key=${key}>${node}</li>`)}
    </ul><//
  >`;
}

/** Every chore, what runs low, seals to check, and asking for another chore. */
export function ChoresSheet({ app, onClose, onOpen }) {
  return html`<${Sheet} app=${app} title=${t('side.chores')} onClose=${onClose}>
    <${ChoreList} app=${app} />
    <ul class="region-list">
      ${[...supplyItems(app, onOpen), ...sealItems(app)].map(
        ({ key, node }) => html`<li key=${key}>${node}</li>`,
      )}
    </ul>
    <${Fold} title=${t('ask.title')}><${AskFor} app=${app} /><//><//
  >`;
}
