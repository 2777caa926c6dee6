// A station as it stands with this device's own taps in it, before the server has answered. Pure.
// Invariant: a tap changes what is shown by exactly what it will change on the board, and a tap
// that is taken back changes nothing.

import { stepAt } from './flow.js';

const isUndo = (command) => command?.order === 'undo-tally';

/** This device's counts and take-backs at a station that the board does not show yet. */
const waysAt = (entries, stationId) =>
  entries.filter(
    ({ command }) =>
      command.station === stationId && (command.order === 'tally' || isUndo(command)),
  );

/** What one tally counts, in thousandths of the step's measure. */
function amountOf(view, stationId, { amount, product }) {
  return amount ?? stepAt(view, product, stationId)?.carrier.holds ?? 1000;
}

/**
 * The counts that stand after everything on its way: `{added, undone, last}`. `added` are taps not
 * on the board yet, `undone` counts of the board that are being taken back, `last` the newest tap
 * of this device that is not on the board.
 */
export function tapsAt(view, entries, stationId) {
  const added = [];
  const undone = [];
  const { undo } = view.stations[stationId];
  for (const entry of waysAt(entries, stationId)) {
    const { command } = entry;
    if (!isUndo(command)) {
      if (isUndo(entry.then)) continue;
      const { product } = command;
      added.push({ entry, product, amount: amountOf(view, stationId, command) });
    } else if (added.length) added.pop();
    else if (undo && !undone.length) undone.push({ product: undo.product, amount: undo.amount });
  }
  return { added, undone, last: added.at(-1)?.entry ?? null };
}

const sumOf = (list, product) =>
  list.filter((one) => one.product === product).reduce((sum, { amount }) => sum + amount, 0);

/** What a product has moved by at a station with the taps: thousandths done beyond the board. */
export function moved(view, entries, stationId, product) {
  const { added, undone } = tapsAt(view, entries, stationId);
  return sumOf(added, product) - sumOf(undone, product);
}

/** The waiting entry of a product as it is with the taps in it. */
export function waitingNow(view, entries, stationId, one) {
  const amount = Math.max(0, one.amount - moved(view, entries, stationId, one.product));
  const holds = one.carrier?.holds ?? 1000;
  return { ...one, amount, carriers: Math.floor((amount * 1000) / holds) };
}

/** How many carriers of a product were done at a station today, in thousandths, taps included. */
export function doneNow(view, entries, stationId, product) {
  const step = stepAt(view, product, stationId);
  const taken = view.stations[stationId].done?.[product]?.taken ?? 0;
  const amount = Math.max(0, taken + moved(view, entries, stationId, product));
  return Math.floor((amount * 1000) / (step?.carrier.holds ?? 1000));
}
