// Commands on their way: kept until the server has acknowledged or refused them. Pure lists; the
// network and the device's storage are the board's. Invariants: entries leave in the order they
// came; an entry keeps its id for ever, so that sending it again can never count twice; what is held back for
// a moment, so that it can be taken back, leaves when that is over, on the next load at the latest.

/** A new entry at the end. `place` orders entries across reloads. */
export function queued(entries, entry) {
  const place = entries.reduce((most, one) => Math.max(most, one.place), 0) + 1;
  return [...entries, { ...entry, place, state: 'waiting' }];
}

/** The one to send now: the oldest not yet acknowledged, apart from what is held back at `ms`. */
export function head(entries, ms = Infinity) {
  const held = (entry) => entry.heldUntil !== undefined && entry.heldUntil > ms;
  return entries.find((entry) => entry.state === 'waiting' && !held(entry)) ?? null;
}

/** Marked as tried: from now on it may be on the server, whatever the network said. */
export function tried(entries, id) {
  return entries.map((entry) => (entry.id === id ? { ...entry, tried: true } : entry));
}

/**
 * The entries when one is taken back: one that was never tried is gone; one that may be on the
 * server is followed by `order`, under `orderId`, once it is acknowledged; null when only a new command helps.
 */
export function takenBack(entries, id, order, orderId) {
  const entry = entries.find((one) => one.id === id);
  if (!entry || entry.state !== 'waiting') return null;
  if (!entry.tried) return dropped(entries, id);
  return entries.map((one) => (one.id === id ? { ...one, then: order, thenId: orderId } : one));
}

/** Acknowledged: on disk at `seq`. It stays as pending until the view has come that far. */
export function acknowledged(entries, id, seq) {
  return entries.map((entry) =>
    entry.id === id ? { ...entry, state: 'kept', seq, then: undefined } : entry,
  );
}

/** When what was acknowledged may be gone: it waits again, under its own id, so it counts once. */
export function unacknowledged(entries) {
  return entries.map((entry) => ({ ...entry, state: 'waiting', seq: undefined }));
}

/** Without the entry. */
export function dropped(entries, id) {
  return entries.filter((entry) => entry.id !== id);
}

/** Without what the view at `seq` already shows, or what a push named. */
export function settled(entries, seq, seen) {
  const named = new Set(seen);
  const shows = (entry) =>
    named.has(entry.id) || (entry.state === 'kept' && seq !== null && entry.seq <= seq);
  const rest = entries.filter((entry) => !shows(entry));
  return rest.length === entries.length ? entries : rest;
}

/** Entries read back from storage, in their order; what is not an entry is left out. */
export function restored(texts) {
  const parse = (text) => {
    try {
      return JSON.parse(text);
    } catch {
      return null;
    }
  };
  return texts
    .map(parse)
    .filter((entry) => entry && typeof entry.id === 'string' && entry.command?.order)
    .map(({ heldUntil, ...entry }) => ({ ...entry, state: 'waiting' }))
    .sort((a, b) => a.place - b.place || (a.id < b.id ? -1 : 1));
}

const FIRST_WAIT_MS = 500;
// With the two below, whatever waits is answered within ten seconds of the network being back.
const LONGEST_WAIT_MS = 4000;

/** How long the answer to a command is awaited before it is sent again. */
export const ANSWER_LIMIT_MS = 5000;

/** How long to wait before try `tries` (from 1), spread by `chance` in 0..1 so crowds disperse. */
export function waitBefore(tries, chance) {
  const most = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(tries - 1, 10));
  return Math.round(most / 2 + (most / 2) * chance);
}
