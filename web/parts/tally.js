// The one big action of a hand station: one carrier done. Shows the tap at once as on its way,
// as counted only when the board says so, and lets the last one be taken back.
// <${Tally} app=${app} stationId="wash" helperId="wren" />

import { html, useEffect, useRef, useState } from '../ui.js';
import { given, t } from '../words/words.js';
import { carried, measured } from '../core/format.js';
import { edgesOf, isWholeWork, stepAt, waitingAt, waysOn } from '../core/flow.js';
import { tapsAt, waitingNow } from '../core/taps.js';
import { depthAt } from '../core/outlook.js';
import { minutesSpoken } from '../core/outlook-words.js';
import { filledHere, isBehindCanner, packsToFreeze } from '../core/process.js';
import { HoldBrake } from './fill/hold-brake.js';
import { SealsFirst } from './seals/seals-first.js';
import { Produce } from './hand/produce.js';
import { Pile, shapeOf } from './pile.js';
import { WorkPicture } from './pictures.js';
import { answer } from './tap-sounds.js';
import { Standing } from './standing.js';
import { TallyAnswer } from './tally-answer.js';
import { depthWords } from './waiting.js';
import { later } from './later.js';

const filling = () => import('./fill/fill-how.js');
const FillFacts = later(() => filling().then((found) => found.FillFacts), { soon: true });
const FillSteps = later(() => filling().then((found) => found.FillSteps));
const FreezeHow = later(
  () => import('./fill/freeze-how.js').then((found) => found.FreezeHow),
  { soon: true },
);

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
          <${Produce} of=${app.view.products[one.product]?.produce} size="30" />
          <span>${app.view.products[one.product]?.name ?? one.product}</span>
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

/** The pile that work is taken from, how long it stands, how much work it is, where it goes. */
function Depth({ app, stationId, one, next }) {
  if (!one) return null;
  const name = one.carrier?.name ?? '';
  const station = next && app.view.stations[next.station];
  const minutes = depthAt(app.view, app.ahead, stationId);
  return html`<div class="depth">
    <${Pile} carriers=${one.carriers} name=${name} measure=${one.measure} />
    <p>
      <strong>${t('tally.waiting', { carriers: carried(one.carriers, name) })}</strong>
      <span
        >${measured(one.amount, one.measure)}${
          minutes !== null && ` · ${t('tally.minutes', { span: minutesSpoken(minutes) })}`
        }</span
      >
      <${Standing} app=${app} one=${one} />
    </p>
    ${
      station &&
      html`<p class="depth-next">
        <${WorkPicture} work=${station.work} size="36" />
        <span class="soft">${t('tally.next', { station: station.name })}</span>
      </p>`
    }
  </div>`;
}

/** Where work comes from when none waits here, so that nobody wonders. */
function ComesFrom({ app, stationId }) {
  const from = edgesOf(app.view)
    .filter(({ to }) => to === stationId)
    .map(({ from: id }) => app.view.stations[id])
    .filter((station) => station.set_up);
  if (!from.length) return null;
  return html`<ul class="comes-from" aria-label=${t('tally.comes-from')}>
    ${from.map((station) => {
      const deep = waitingAt(station)[0];
      return html`<li>
        <${WorkPicture} work=${station.work} size="36" />
        <span
          >${t('tally.comes-of', { station: station.name })}${' '}
          <small class="soft"
            >${deep ? t('claim.waits', { depth: depthWords(deep) }) : t('waiting.none')}</small
          ></span
        >
      </li>`;
    })}
  </ul>`;
}

const HIT_MS = 420;

/**
 * Above 0 for a moment after each tap, so that the eye has an answer at once. It is shown with the
 * tap's command: a drawing of its own before that would only come between.
 */
function useHit() {
  const [, calm] = useState(0);
  const { current } = useRef({ hit: 0, timer: null });
  useEffect(() => () => clearTimeout(current.timer), []);
  const strike = () => {
    current.hit += 1;
    clearTimeout(current.timer);
    current.timer = setTimeout(() => {
      current.hit = 0;
      calm((n) => n + 1);
    }, HIT_MS);
  };
  return [current.hit, strike];
}

/** What lies on the carrier: three pieces of the produce. */
function Heap({ produce }) {
  return html`<span class="heap"
    >${[34, 44, 34].map((size) => html`<${Produce} of=${produce} size=${size} />`)}</span
  >`;
}

/** The action, the pile it takes from, and the last count. */
export function Tally({ app, stationId, helperId }) {
  const [picked, setPicked] = useState(null);
  const station = app.view.stations[stationId];
  const list = waitingAt(station);
  const product = productFor(app, stationId, list, picked);
  const one = list.find((entry) => entry.product === product);
  // When each tap was made; its command draws the screen.
  const own = useRef([]);
  const [hit, strike] = useHit();
  const ahead = tapsAt(app.view, app.entries, stationId).added.filter(
    (entry) => entry.product === product,
  ).length;
  const tap = () => {
    // From here on only this one is counted: a queue that grows must not turn the button round.
    setPicked(product);
    own.current = [...own.current.slice(-20), app.monotonic()];
    strike();
    answer(app, 'done');
    app.send(tallyOrder(app.view, stationId, product, helperId, ahead));
  };
  const can = canTap(app.view, stationId, one);
  const next = product ? waysOn(app.view, product, stationId)[0] : null;
  const name = one?.carrier?.name ?? '';
  const jars = product ? filledHere(app.view, product, stationId) : [];
  if (product && isBehindCanner(app.view, product, stationId))
    return html`<${SealsFirst} app=${app} />
      <${Depth} app=${app} stationId=${stationId} one=${one} />`;
  return html`<section class="tally" aria-label=${t('tally.title')}>
    <${ProductTabs} app=${app} list=${list} chosen=${product} onPick=${setPicked} />
    ${jars.map((id) => html`<${FillFacts} key=${id} app=${app} product=${id} />`)}
    <${HoldBrake} station=${station} now=${app.now} />
    <button
      class=${`act act-${one ? shapeOf(name, one.measure) : 'none'} ${hit ? 'act-hit' : ''}`}
      disabled=${!can}
      onClick=${tap}
    >
      ${one && html`<${Heap} produce=${app.view.products[product]?.produce} />`}
      ${hit > 0 && html`<span class="act-plus" key=${hit} aria-hidden="true">+1</span>`}
      ${
        one &&
        shapeOf(name, one.measure) !== 'bowl' &&
        html`<${Pile} carriers=${1000} name=${name} measure=${one.measure} scale=${1.9} />`
      }
      <span class="act-word">${t(tapKey(one, can), { carrier: given(name) })}</span>
      ${
        one &&
        html`<span class="act-sub">${list.length === 1 && app.view.products[product]?.name}</span>`
      }
    </button>
    <${TallyAnswer}
      app=${app}
      stationId=${stationId}
      helperId=${helperId}
      product=${product ?? station.undo?.product}
      own=${own.current}
      onUndo=${() => {
        own.current = own.current.slice(0, -1);
      }}
    />
    <${Depth}
      app=${app}
      stationId=${stationId}
      one=${one && waitingNow(app.view, app.entries, stationId, one)}
      next=${next}
    />
    ${!one && html`<${ComesFrom} app=${app} stationId=${stationId} />`}
    ${
      product &&
      packsToFreeze(app.view, product, stationId) &&
      html`<${FreezeHow} freezing=${app.view.products[product].freezing} />`
    }
    ${jars.map((id) => html`<${FillSteps} key=${id} app=${app} product=${id} />`)}
  </section>`;
}
