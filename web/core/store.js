// The day as this device knows it: the last view, its sequence number, the clock it came with, and
// the last outlook on what is to come.
// Not for unsent commands (outbox) and not for selections (flow, timers, warnings).
// Invariant: the view equals the server's view at `seq`; a patch is applied only to the view it
// was made for.

import { merged } from './merge.js';
import { heardClock } from './clock.js';

/** Before the first view. */
export const EMPTY = Object.freeze({
  seq: null,
  journal: null,
  view: null,
  heard: null,
  outlook: null,
});

/**
 * The store after a push: `{store, gap, seen, another}`. `gap` says a fresh view is needed; `seen`
 * lists the commands that are now part of the view; `another` says that the view is of another
 * journal: a copy was put in its place, and numbers heard before mean nothing now.
 */
export function applied(store, push, monotonicMs) {
  if (push.push === 'view') return withView(store, push, monotonicMs);
  if (push.push === 'outlook') return withOutlook(store, push, monotonicMs);
  if (push.push !== 'patch') return { store, gap: false, seen: [] };
  const heard = heardClock(push.clock, monotonicMs);
  const seen = push.commands ?? [];
  if (store.seq === null) return { store, gap: true, seen: [] };
  if (push.seq <= store.seq) return { store: { ...store, heard }, gap: false, seen };
  if (push.from !== store.seq) return { store, gap: true, seen: [] };
  const view = merged(store.view, push.patch);
  return { store: { ...store, seq: push.seq, view, heard }, gap: false, seen };
}

/**
 * A whole view replaces what is there, unless it is older than what is there. `joined` lets an
 * older one through: the server says by a push on joining that this is how it stands now. So does
 * one of another journal.
 */
function withView(store, push, monotonicMs) {
  const journal = push.journal ?? store.journal;
  const another = store.journal !== null && journal !== store.journal;
  const stale = store.seq !== null && push.seq < store.seq && !push.joined && !another;
  if (stale) return { store, gap: false, seen: [] };
  const heard = heardClock(push.clock, monotonicMs);
  const seen = { ...store, seq: push.seq, journal, view: push.view, heard };
  return { store: seen, gap: false, seen: [], another };
}

/** A new outlook, or none any more, replaces the last one; it is no part of the numbered view. */
function withOutlook(store, push, monotonicMs) {
  const heard = heardClock(push.clock, monotonicMs);
  return { store: { ...store, heard, outlook: push.outlook ?? null }, gap: false, seen: [] };
}
