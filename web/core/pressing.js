// What presses, warnings and timers in one order: what endangers people or food first, then what is
// over its time, then what will be. Pure, no words. Invariant: a danger stands before everything.

import { warningsOf } from './warnings.js';

const WARNING_RANK = { danger: 0, warn: 2, note: 5 };
const TIMER_RANK = { late: 1, due: 1, soon: 3, calm: 4 };

/** `[{key, warning} | {key, timer}]`, most urgent first; `timers` as they are in order. */
export function pressing(view, timers, now) {
  const warnings = warningsOf(view, now).map((warning) => ({
    key: [warning.key, warning.load ?? warning.station ?? '', warning.params?.pot ?? ''].join('/'),
    warning,
    rank: WARNING_RANK[warning.level],
  }));
  const running = timers.map((timer) => ({
    key: timer.key,
    timer,
    rank: TIMER_RANK[timer.level],
  }));
  return [...warnings, ...running].sort((a, b) => a.rank - b.rank);
}
