// The one big action of a hand station: one carrier done. Shows the tap at once as on its way,
// as counted only when the board says so, and lets the last one be taken back.
// <${Tally} app=${app} stationId="wash" helperId="wren" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { carried, measured } from '../core/format.js';
import { isWholeWork, stepAt, waitingAt, waysOn } from '../core/flow.js';
import { filledHere, isBehindCanner, packsToFreeze } from '../core/process.js';
import { FillFacts, FillSteps } from './fill/fill-how.js';
import { FreezeHow } from './fill/freeze-how.js';
import { HoldBrake } from './fill/hold-brake.js';
import { SealsFirst } from './seals/seals-first.js';
import { Pile, shapeOf } from './pile.js';
import { Standing } from './standing.js';
import { TallyAnswer } from './tally-answer.js';

function isTally(entry, stationId) {
  return entry.command.order === 'tally' && entry.command.station === stationId;
}

/** Whether a tap can count something here: a whole carrier, or a rest that makes whole packages. */
function canTap(view, stationId, one) {
  if (!one) return false;
  return one.amount >= one.carrier.holds || isWholeWork(view, one.product, stationId, one.amount);
}

/** What one tap says; the rest of a carrier is counted as what it is. */
export function tallyOrder(view, stationId, product, helperId, ahead = 0) {
  const waiting = view.stations[stationId].waiting?.[product];
  const holds = waiting?.carrier?.holds ?? stepAt(view, product, stationId)?.carrier.holds ?? 1000;
  const left = (waiting?.amount ?? 0) - ahead * holds;
  const command = { order: 'tally', station: stationId, product };
  if (helperId) command.helper = helperId;
  if (left > 0 && left < holds && isWholeWork(view, product, stationId, left))
    command.amount = left;
  return command;
}

// In an order that does not change while people tap.
const byName = (app, list) =>
  [...list].sort((a, b) =>
    (app.view.products[a.product]?.name ?? '').localeCompare(
      app.view.products[b.product]?.name ?? '',
    ),
  );

function ProductTabs({ app, list, chosen, onPick }) {
  if (list.length < 2) return null;
  return html`<div class="choices" role="group" aria-label=${t('tally.which')}>
    ${byName(app, list).map(
      (one) =>
        html`<button
          key=${one.product}
          aria-pressed=${one.product === chosen}
          class="button choice"
          onClick=${() => onPick(one.product)}
        >
          ${app.view.products[one.product]?.name ?? one.product}
        </button>`,
    )}
  </div>`;
}

const tapKey = (one, can) => (can ? 'tally.one' : one ? 'tally.not-whole' : 'tally.nothing');

/**
 * What the next tap counts: what was picked, else what was counted last, else the deepest queue.
 */
function productFor(app, stationId, list, picked) {
  const waits = (product) =>
    list.some((one) => one.product === product && canTap(app.view, stationId, one));
  const last = app.view.stations[stationId].undo?.product;
  return (
    [picked, last].find((product) => product && waits(product)) ??
    (list.find((one) => canTap(app.view, stationId, one)) ?? list[0])?.product
  );
}

/** The pile that work is taken from, how long it stands, and where it goes. */
function Depth({ app, one, next }) {
  if (!one) return null;
  const name = one.carrier?.name ?? '';
  const station = next && (app.view.stations[next.station]?.name ?? next.station);
  return html`<div class="depth">
    <${Pile} carriers=${one.carriers} name=${name} measure=${one.measure} />
    <p>
      <strong>${t('tally.waiting', { carriers: carried(one.carriers, name) })}</strong>
      <span>${measured(one.amount, one.measure)}</span>
      <${Standing} app=${app} one=${one} />
      ${next && html`<span class="soft">${t('tally.next', { station })}</span>`}
    </p>
  </div>`;
}

/** The action, the pile it takes from, and the last count. */
export function Tally({ app, stationId, helperId }) {
  const [picked, setPicked] = useState(null);
  const station = app.view.stations[stationId];
  const list = waitingAt(station);
  const product = productFor(app, stationId, list, picked);
  const one = list.find((entry) => entry.product === product);
  const onTheWay = app.entries.filter((entry) => isTally(entry, stationId)).length;
  const ahead = app.entries.filter(
    (entry) => isTally(entry, stationId) && entry.command.product === product,
  ).length;
  const tap = () => {
    // From here on only this one is counted: a queue that grows must not turn the button round.
    setPicked(product);
    globalThis.navigator?.vibrate?.(30);
    app.send(tallyOrder(app.view, stationId, product, helperId, ahead));
  };
  const can = canTap(app.view, stationId, one);
  const next = product ? waysOn(app.view, product, stationId)[0] : null;
  const name = one?.carrier?.name ?? '';
  const jars = product ? filledHere(app.view, product, stationId) : [];
  if (product && isBehindCanner(app.view, product, stationId))
    return html`<${SealsFirst} app=${app} /> <${Depth} app=${app} one=${one} />`;
  return html`<section class="tally" aria-label=${t('tally.title')}>
    <${ProductTabs} app=${app} list=${list} chosen=${product} onPick=${setPicked} />
    ${jars.map((id) => html`<${FillFacts} key=${id} app=${app} product=${id} />`)}
    <${HoldBrake} station=${station} now=${app.now} />
    <button
      class=${`act act-${one ? shapeOf(name, one.measure) : 'none'}`}
      disabled=${!can}
      onClick=${tap}
    >
      ${
        one &&
        shapeOf(name, one.measure) !== 'bowl' &&
        html`<${Pile} carriers=${1000} name=${name} measure=${one.measure} scale=${1.9} />`
      }
      <span class="act-word">${t(tapKey(one, can), { carrier: name })}</span>
      ${
        one &&
        html`<span class="act-sub">${list.length === 1 && app.view.products[product]?.name}</span>`
      }
    </button>
    <${TallyAnswer} app=${app} stationId=${stationId} helperId=${helperId} onTheWay=${onTheWay} />
    <${Depth} app=${app} one=${one} next=${next} />
    ${
      product &&
      packsToFreeze(app.view, product, stationId) &&
      html`<${FreezeHow} freezing=${app.view.products[product].freezing} />`
    }
    ${jars.map((id) => html`<${FillSteps} key=${id} app=${app} product=${id} />`)}
  </section>`;
}
