// How long food has stood, by the marks the view gives for it. Pure. Invariant: the oldest of a
// queue decides, and a mark that has passed is never shown milder than it is.

import { waitingAt } from './flow.js';

/** "fresh" before the first mark, then "soon", "due", and "late" past the limit. */
export function levelAt(stands, now) {
  if (now >= stands.limit_at) return 'late';
  if (now >= stands.urge_at) return 'due';
  return now >= stands.warn_at ? 'soon' : 'fresh';
}

/** The standing of one queue, or null: `{why, since, passed, level}`. */
export function standing(one, now) {
  if (!one?.stands || now === null || now === undefined) return null;
  const since = one.oldest_at ?? now;
  const level = levelAt(one.stands, now);
  return { why: one.stands.why, since, passed: Math.max(0, now - since), level };
}

/** Everything at a station that stands past its first mark, the oldest first. */
export function standingAt(station, now) {
  return waitingAt(station)
    .map((one) => ({ product: one.product, ...standing(one, now) }))
    .filter((one) => one.why && one.level !== 'fresh')
    .sort((a, b) => a.since - b.since);
}

/** Whether jars at a canner stand too long to be processed. */
export const stoodTooLong = (one, now) =>
  one?.stands?.why === 'filled-jars' && now !== null && now >= one.stands.limit_at;
