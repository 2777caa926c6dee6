// What was learned, as lines to show and corrections to send. Pure; words come from words/.
// Invariant: what is sent is in the server's unit; percent is only how a ratio is shown and typed.

import { given, t } from '../words/words.js';
import { manner } from './manner.js';

/** The groups in the order they are shown, with the kinds of lesson in each. */
export const GROUPS = [
  ['heat', ['loading', 'heating', 'after']],
  ['pots', ['pot']],
  ['yields', ['yield']],
  ['rests', ['break']],
  ['people', ['speed']],
  ['notes', ['scorch']],
];

const MINUTES = ['loading', 'heating', 'after', 'break'];
const COUNTED = { pot: 'pots', yield: 'pots', break: 'breaks', speed: 'carriers' };

/** Whether a lesson is told in minutes; else it is a ratio, told in percent. */
export const inMinutes = ({ of }) => MINUTES.includes(of);

const number = (n, digits) =>
  n.toLocaleString(manner().locale, { maximumFractionDigits: digits });

/** A figure as it is shown and typed: minutes, or percent. */
export const shown = (line, value) => (inMinutes(line) ? value : value * 100);

/** A name for a lesson, the same for the same one. */
export const lessonId = (line) =>
  [line.of, line.helper, line.station, line.product, line.at].filter(Boolean).join(' ');

/** The lesson alone, as the server names it. */
export function lessonOf({ of, helper, station, product, at }) {
  return JSON.parse(JSON.stringify({ of, helper, station, product, at }));
}

/** What a lesson is about. */
export function lessonTitle(list, line) {
  const name = (map, id) => given(list[map]?.[id] ?? id);
  return t(line.of === 'scorch' ? 'learned.note' : `learned.${line.of}`, {
    station: name('stations', line.station),
    product: name('products', line.product ?? line.what),
    helper: name('helpers', line.helper),
    note: line.note ?? '',
  });
}

/** Its figure, what is reckoned with else, and how much it counts: `{figure, usual, counts}`. */
export function lessonWords(line) {
  if (line.value === undefined) return { figure: '', usual: '', counts: '' };
  const unit = inMinutes(line) ? 'minutes' : 'share';
  const figure = (n) => number(shown(line, n), inMinutes(line) ? 1 : 0);
  return {
    figure: t(`learned.${unit}`, { n: figure(line.value) }),
    usual: t(`learned.usual-${unit}`, { n: figure(line.usual) }),
    counts: t(`learned.counts.${COUNTED[line.of] ?? 'loads'}`, {
      n: Math.round(line.counts * 10) / 10,
    }),
  };
}

/** A typed number, or null. */
export function typedNumber(text) {
  const plain = String(text ?? '').trim().replace(',', '.');
  return /^\d{1,6}(\.\d{1,3})?$/.test(plain) ? Number(plain) : null;
}

/** The correction for what was typed, or null where it is no number. */
export function setting(line, typedValue, typedCounts) {
  const [value, counts] = [typedNumber(typedValue), typedNumber(typedCounts)];
  if (value === null || counts === null) return null;
  const inUnit = inMinutes(line) ? value : value / 100;
  return { do: 'set', lesson: lessonOf(line), value: inUnit, counts };
}

/** The correction that forgets a lesson. */
export const forgetting = (line) => ({ do: 'forget', lesson: lessonOf(line) });
