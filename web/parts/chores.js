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
import { helpersInOrder } from '../core/seats.js';

function Actions({ app, id, chore, helperId, onAsk }) {
  const going = app.pending(({ command }) => command.chore === id);
  if (going) return html`<span class="soft">${t('pending.sending')}</span>`;
  const finish = { order: 'finish-chore', chore: id,
    ...((helperId ?? chore.taken_by) && { helper: helperId ?? chore.taken_by }) };
  const take = () => (helperId ? app.send({ order: 'take-chore', chore: id, helper: helperId }) : onAsk(id));
  return html`<span class="chore-actions">
    ${!chore.taken_by && html`<button class="button" onClick=${take}>${t('chore.take')}</button>`}
    <button class="button" onClick=${() => app.send(finish)}>${t('chore.finish')}</button></span>`;
}

/** Open chores; without a helper the lead names who takes one. */
export function ChoreList({ app, helperId, quiet, most = 99 }) {
  const [asking, setAsking] = useState(null);
  const list = choresOf(app.view);
  if (!list.length) return html`<p class="soft">${t('chore.none')}</p>`;
  const here = helpersInOrder(app.view).filter(([, one]) => one.presence === 'here').map(([id]) => id);
  const take = (helper) => { app.send({ order: 'take-chore', chore: asking, helper }); setAsking(null); };
  return html`<ul class="chores">${list.slice(0, most).map(([id, chore]) => html`<li class="chore" key=${id}>
    <${Mark} of=${chore.taken_by ? 'calm' : 'hand'} />
    <span class="chore-words"><strong>${chore.text}</strong>
      <small class="soft">${chore.taken_by
        ? t('chore.taken', { helper: app.view.helpers[chore.taken_by]?.name ?? chore.taken_by })
        : app.now === null ? '' : t('chore.waits', { span: span(app.now - chore.raised_at) })}</small></span>
    ${!quiet && html`<${Actions} app=${app} id=${id} chore=${chore} helperId=${helperId} onAsk=${setAsking} />`}
    ${asking === id && html`<div class="chore-ask"><${PersonChoice} app=${app} ids=${here} onPick=${take} label=${t('chore.who')} /></div>`}
  </li>`)}
  ${list.length > most && html`<li class="soft">${t('more', { n: list.length - most })}</li>`}</ul>`;
}

const USUAL = ['jars', 'lids', 'bowls', 'box', 'spill', 'adult'];

/** "We need ...": raises a chore. */
export function AskFor({ app, stationId, onDone }) {
  const [text, setText] = useState('');
  const order = (words) => ({ order: 'raise-chore', chore: app.mint('asked'), text: words,
    ...(stationId && { station: stationId }) });
  const quick = (words) => { app.send(order(words)); onDone?.(); };
  return html`<div class="choices">${USUAL.map((one) => html`<button key=${one} type="button" class="button"
      onClick=${() => quick(t(`ask.${one}`))}>${t(`ask.${one}`)}</button>`)}</div>
    <${OrderForm} app=${app} button=${t('ask.do')} onDone=${onDone}
      build=${() => (text.trim() ? order(text.trim()) : t('ask.say-what'))}>
      <${TextField} label=${t('ask.other')} value=${text} onValue=${setText} maxlength="80" /><//>`;
}
