// Timers in words and numbers, with a mark for how urgent they are.
// <${TimerLine} view=${view} timer=${timer} />

import { html } from '../ui.js';
import { known, t } from '../words/words.js';
import { countdown, span, running } from '../core/format.js';
import { heatOfLoad } from '../core/process.js';
import { Mark } from './pictures.js';

function keyOf(view, { kind, level, left, load }, here) {
  const late = level === 'late' ? '.late' : '';
  const over = left !== undefined && left <= 0 ? '.over' : '';
  const heat = load && view?.loads?.[load] ? `.${heatOfLoad(view, view.loads[load])}` : '';
  const forms = [late && here && '.late.here', late, here && '.here', over, heat].filter(Boolean);
  const form = forms.find((one) => known(`timer.${kind}${one}`)) ?? '';
  return `timer.${kind}${form}`;
}

/** What the timer is about: "Stir the big pot", "Canner A: boiling". */
export function timerWords(view, timer, here = false) {
  const station = view?.stations?.[timer.station];
  const words = t(keyOf(view, timer, here), {
    station: station?.name ?? timer.station,
    pot: station?.pots?.[timer.pot]?.name ?? '',
    canner: station?.canners?.[timer.canner]?.name ?? '',
    product: view?.products?.[timer.product]?.name ?? '',
  });
  return here ? words : `${placeOf(station, timer)}: ${words}`;
}

const placeOf = (station, timer) =>
  station?.canners?.[timer.canner]?.name ?? station?.name ?? timer.station;

/** The number of a timer: what is left, what it is over by, or how long it has gone on. */
export function timerNumber(timer) {
  if (timer.left === undefined) {
    return ['heating', 'loaded', 'pressure-falls'].includes(timer.kind)
      ? running(timer.passed)
      : span(timer.passed);
  }
  return timer.left > 0 ? countdown(timer.left) : `+${running(-timer.left)}`;
}

const MARK = { late: 'due', due: 'due', soon: 'soon', calm: 'calm' };

function Line({ timer, words }) {
  return html`<${Mark} of=${MARK[timer.level]} /><span class="timer-words">${words}</span>
    <span class="timer-number">${timerNumber(timer)}</span>`;
}

/** One timer in a list. */
export function TimerLine({ view, timer, here }) {
  return html`<li class=${`timer timer-${timer.level}`} key=${timer.key}>
    <${Line} timer=${timer} words=${timerWords(view, timer, here)} />
  </li>`;
}

/** One timer in a crowded list: the place and what is due there, not of which product. */
export function TimerLean({ view, timer }) {
  const words = `${placeOf(view?.stations?.[timer.station], timer)}: ${timerWords(view, timer, true)}`;
  return html`<div class=${`timer timer-${timer.level}`}>
    <${Line} timer=${timer} words=${words} />
  </div>`;
}

/** A large countdown for the station it belongs to. */
export function BigTimer({ view, timer }) {
  return html`<div class=${`big-timer timer-${timer.level}`}>
    <span class="timer-number">${timerNumber(timer)}</span>
    <span class="timer-words"
      ><${Mark} of=${MARK[timer.level]} />${timerWords(view, timer, true)}</span
    >
  </div>`;
}
