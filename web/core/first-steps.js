// What a new day needs before its first box is opened. Pure. Invariant: once fruit has come out of a
// box, or work waits anywhere, there is nothing left to be led to.

import { entriesOf, waitingAt } from './flow.js';

/** Whether anything has come to a station yet. */
export function hasBegun(view) {
  const opened = entriesOf(view.lots).some(([, lot]) => lot.unopened < lot.amount);
  return opened || entriesOf(view.stations).some(([, station]) => waitingAt(station).length > 0);
}

/**
 * The steps, in their order: `[{step, done, n}]`, `n` how many there are already; null once the day
 * has begun or is closed.
 */
export function firstSteps(view) {
  if (view.day?.phase !== 'open' || hasBegun(view)) return null;
  const lots = entriesOf(view.lots).length;
  const helpers = entriesOf(view.helpers).length;
  const canned = entriesOf(view.products).some(([, one]) => one.ends_in?.as === 'canned');
  const high = view.day.altitude_ft !== undefined && view.day.altitude_ft !== null;
  return [
    { step: 'fruit', done: lots > 0, n: lots },
    { step: 'people', done: helpers > 0, n: helpers },
    ...(canned && !high ? [{ step: 'altitude', done: false, n: 0 }] : []),
    { step: 'box', done: false, n: 0 },
  ];
}
