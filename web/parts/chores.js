// Chores: asking for something, taking one, saying it is done.
// <${ChoreList} app=${app} helperId="bo" />  <${AskFor} app=${app} stationId="wash" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { span } from '../core/format.js';
import { choresOf } from '../core/warnings.js';
import { Mark } from './pictures.js';
import { TextField } from './fields.js';
import { OrderForm } from './order-form.js';
import { PersonChoice } from './people.js';
import { Sheet } from './sheet.js';
import { helpersInOrder } from '../core/seats.js';

function Actions({ app, id, chore, helperId, onAsk }) {
  const going = app.pending(({ command }) => command.chore === id);
  if (going) return html`<span class="soft">${t('pending.sending')}</span>`;
  const finish = finishOrder(id, helperId ?? chore.taken_by);
  const done = html`<button class="button" onClick=${() => app.send(finish)}>
    ${t('chore.finish')}
  </button>`;
  if (chore.taken_by) return done;
  if (!helperId)
    return html`<button class="button" onClick=${() => onAsk(id)}>${t('chore.who-short')}</button>`;
  const take = { order: 'take-chore', chore: id, helper: helperId };
  return html`<span class="chore-actions"
    ><button class="button" onClick=${() => app.send(take)}>${t('chore.take')}</button>${done}</span
  >`;
}

const finishOrder = (id, helper) => ({
  order: 'finish-chore',
  chore: id,
  ...(helper && { helper }),
});

/** The lead says who sees to a chore, or that it is done already. */
export function WhoDoes({ app, id, onClose }) {
  const here = helpersInOrder(app.view)
    .filter(([, one]) => one.presence === 'here')
    .map(([who]) => who);
  const give = (command) => {
    app.send(command);
    onClose();
  };
  return html`<${Sheet}
    app=${app}
    title=${t('chore.who')}
    sub=${app.view.chores[id]?.text}
    onClose=${onClose}
  >
    <${PersonChoice}
      app=${app}
      ids=${here}
      label=${t('chore.who')}
      onPick=${(helper) => give({ order: 'take-chore', chore: id, helper })}
    />
    <button class="button" onClick=${() => give(finishOrder(id))}>${t('chore.already')}</button><//
  >`;
}

function choreWords(app, chore, brief) {
  if (chore.taken_by)
    return t('chore.taken', { helper: app.view.helpers[chore.taken_by]?.name ?? chore.taken_by });
  return brief || app.now === null ? '' : t('chore.waits', { span: span(app.now - chore.raised_at) });
}

/**
 * Open chores as list items; without a helper the lead names who takes one. `brief` leaves out how
 * long one has waited.
 */
export function choreItems(app, { helperId, quiet, brief, onAsk } = {}) {
  return choresOf(app.view).map(([id, chore]) => ({
    key: id,
    kind: 'chore',
    node: html`<${Mark} of=${chore.taken_by ? 'calm' : 'hand'} />
      <span class="chore-words"
        ><strong>${chore.text}</strong
        ><small class="soft">${choreWords(app, chore, brief)}</small></span
      >
      ${
        !quiet &&
        html`<${Actions} app=${app} id=${id} chore=${chore} helperId=${helperId} onAsk=${onAsk} />`
      }`,
  }));
}

/** The list. */
export function ChoreList({ app, helperId, quiet }) {
  const [asking, setAsking] = useState(null);
  const items = choreItems(app, { helperId, quiet, onAsk: setAsking });
  if (!items.length) return html`<p class="soft">${t('chore.none')}</p>`;
  return html`<ul class="chores">
      ${items.map(({ key, kind, node }) => html`<li class=${kind} key=${key}>${node}</li>`)}
    </ul>
    ${asking && html`<${WhoDoes} app=${app} id=${asking} onClose=${() => setAsking(null)} />`}`;
}

const USUAL = ['jars', 'lids', 'bowls', 'box', 'spill', 'adult'];

/** "We need ...": raises a chore; `plain` leaves the usual ones out. */
export function AskFor({ app, stationId, onDone, plain }) {
  const [text, setText] = useState('');
  const order = (words, usual) => ({
    order: 'raise-chore',
    // By this every device finds the words in its own language.
    chore: app.mint(usual ? `ask-${usual}` : 'asked'),
    text: words,
    ...(stationId && { station: stationId }),
  });
  const quick = (usual) => {
    app.send(order(t(`ask.${usual}`), usual));
    onDone?.();
  };
  return html`${!plain && html`<div class="choices">
      ${USUAL.map(
        (one) =>
          html`<button
            key=${one}
            type="button"
            class="button"
            onClick=${() => quick(one)}
          >
            ${t(`ask.${one}`)}
          </button>`,
      )}
    </div>`}
    <${OrderForm}
      app=${app}
      button=${t('ask.do')}
      onDone=${onDone}
      build=${() => (text.trim() ? order(text.trim()) : t('ask.say-what'))}
    >
      <${TextField} label=${t('ask.other')} value=${text} onValue=${setText} maxlength="80"
    /><//>`;
}
