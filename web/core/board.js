// One day on this device: follows the server's pushes and brings this device's commands to it,
// one at a time and in order. Network, storage, randomness and time are passed in, so it runs in
// tests as in the browser. Invariants: a command is shown as done only once the view shows it; what
// another tab of this device has brought is not brought again.

import { EMPTY, applied } from './store.js';
import * as outbox from './outbox.js';
import { readPush, uuidFrom, verdictOf } from './protocol.js';
import { serverNow } from './clock.js';

/** Whether the board takes nothing for now: what is tapped waits here. */
export const isReadOnly = ({ disk }) => Boolean(disk) && disk.writes !== 'work';

/**
 * The board of `day`. `outside` holds `link`, `memory`, `randomBytes()`, `chance()`,
 * `monotonic()`, `later(ms, run)`, `changed()` and `shown(run)`, which runs once what has changed is
 * on the screen, and `putOut()` for when this device may no longer look.
 */
export function boardOf(day, outside) {
  const { link, memory, monotonic, later, changed, shown } = outside;
  const board = {
    day,
    store: EMPTY,
    refusals: memory.refusals(day),
    trouble: null,
    putBack: false,
    holders: null,
    disk: null,
    doors: 0,
    wrongTries: null,
    entries: outbox.restored(memory.outbox(day)),
    line: { up: false, since: monotonic() },
  };
  const waiting = new Map();
  let sending = false;
  let tries = 0;
  let stopped = false;
  let stopFollowing = () => {};
  let stopWatching = () => {};

  function settle(id, outcome) {
    waiting.get(id)?.(outcome);
    waiting.delete(id);
  }

  function take(push, joined) {
    const result = applied(board.store, { ...push, joined }, monotonic());
    board.store = result.store;
    if (result.another) putBack();
    const before = board.entries;
    board.entries = outbox.settled(before, board.store.seq, result.seen);
    for (const entry of before) {
      if (board.entries.includes(entry)) continue;
      memory.forget(day, entry.id);
      settle(entry.id, { accepted: true });
      if (entry.then) send(entry.then, { id: entry.thenId });
    }
    changed();
    if (result.gap) refresh();
    if (result.another) drain();
  }

  /** A copy was put in the journal's place: what was acknowledged and not yet shown may be gone. */
  function putBack() {
    board.putBack = true;
    board.entries = outbox.unacknowledged(board.entries);
    for (const entry of board.entries) memory.keep(day, entry);
  }

  /** Somebody has read that a copy was put back. */
  function sawPutBack() {
    board.putBack = false;
    changed();
  }

  /** Not sooner than the server asked for, and then spread: many may have been told the same. */
  const pauseBefore = (retryAfter = 0) =>
    retryAfter * 1000 + outbox.waitBefore(Math.max(tries, 1), outside.chance());

  async function refresh() {
    const answer = await link.get(`/api/days/${day}/view`);
    if (stopped) return;
    const verdict = answer.status === 0 ? 'again' : verdictOf(answer.status);
    if (verdict === 'again') {
      // Out of reach: a whole view comes with the line. Asked too much: when the server says.
      if (answer.retryAfter) later(pauseBefore(answer.retryAfter), refresh);
    } else if (verdict === 'accepted') take({ push: 'view', ...answer.body }, false);
    else board.trouble = answer.body ?? null;
    changed();
  }

  function refuse(entry, problem) {
    board.entries = outbox.dropped(board.entries, entry.id);
    memory.forget(day, entry.id);
    const heard = waiting.has(entry.id) && entry.quiet;
    settle(entry.id, { accepted: false, problem });
    if (heard) return;
    const others = memory.refusals(day).filter((one) => one.id !== entry.id);
    board.refusals = [...others, { id: entry.id, command: entry.command, said: entry.said, problem }];
    memory.keepRefusals(day, board.refusals);
  }

  /** Another tab has brought some of what both knew of: only what is kept still is waiting. */
  function compare() {
    const gone = board.entries.filter(
      (entry) => entry.state === 'waiting' && !memory.keeps(day, entry.id),
    );
    board.entries = board.entries.filter((entry) => !gone.includes(entry));
    board.refusals = memory.refusals(day);
    const refused = (id) => board.refusals.find((one) => one.id === id);
    for (const { id } of gone)
      settle(
        id,
        refused(id) ? { accepted: false, problem: refused(id).problem } : { accepted: true },
      );
    changed();
  }

  function accept({ id }, seq) {
    // Read anew: it may have been taken back while it was on its way. One that the view shows
    // already was followed up when that came.
    const entry = board.entries.find((one) => one.id === id);
    memory.forget(day, id);
    board.entries = outbox.settled(
      outbox.acknowledged(board.entries, id, seq),
      board.store.seq,
      [],
    );
    settle(id, { accepted: true, seq });
    if (board.refusals.some((one) => one.id === id)) dismiss(id);
    if (entry?.then) send(entry.then, { id: entry.thenId });
  }

  async function drain() {
    if (sending || stopped) return;
    if (board.entries.some((one) => one.state === 'waiting' && !memory.keeps(day, one.id)))
      compare();
    const entry = outbox.head(board.entries, monotonic());
    if (!entry) return;
    sending = true;
    if (!entry.tried) {
      board.entries = outbox.tried(board.entries, entry.id);
      memory.keep(day, { ...entry, tried: true });
    }
    const body = { id: entry.id, command: entry.command };
    const answer = await link.post(`/api/days/${day}/commands`, body, outbox.ANSWER_LIMIT_MS);
    sending = false;
    if (stopped) return;
    const verdict = answer.status === 0 ? 'again' : verdictOf(answer.status);
    if (verdict === 'again') {
      tries += 1;
      later(pauseBefore(answer.retryAfter), drain);
      changed();
      return;
    }
    tries = 0;
    if (verdict === 'accepted') accept(entry, answer.body.seq);
    else if (memory.keeps(day, entry.id)) refuse(entry, answer.body ?? { status: answer.status });
    else compare();
    changed();
    drain();
  }

  /** Puts a command in the outbox; the promise tells how it ended. */
  function send(command, options = {}) {
    const id = options.id ?? uuidFrom(outside.randomBytes());
    const entry = { id, command, said: options.said, quiet: Boolean(options.quiet) };
    if (options.hold) {
      entry.heldUntil = monotonic() + options.hold;
      later(options.hold, drain);
    }
    // What follows has its id from the beginning: two tabs that both send it send the same.
    if (options.then)
      Object.assign(entry, { then: options.then, thenId: uuidFrom(outside.randomBytes()) });
    board.entries = outbox.queued(board.entries, entry);
    memory.keep(day, board.entries.at(-1));
    const outcome = new Promise((resolve) => {
      waiting.set(id, resolve);
    });
    changed();
    // It is kept; that it was heard is shown before it is sent.
    shown(drain);
    return outcome;
  }

  /**
   * Takes a command back. One that never left is forgotten; else `order`, which undoes it, goes out
   * after it, and never if it is refused.
   */
  function takeBack(id, order) {
    const after = outbox.takenBack(board.entries, id, order, uuidFrom(outside.randomBytes()));
    if (!after) {
      send(order);
      return;
    }
    board.entries = after;
    const still = after.find((entry) => entry.id === id);
    if (still) memory.keep(day, still);
    else {
      memory.forget(day, id);
      settle(id, { accepted: false, takenBack: true });
    }
    changed();
  }

  /** Takes a refusal off the screen. */
  function dismiss(id) {
    board.refusals = memory.refusals(day).filter((refusal) => refusal.id !== id);
    memory.keepRefusals(day, board.refusals);
    changed();
  }

  /** What tabs that are closed by now had kept and not brought. */
  function adopt() {
    const mine = board.entries.map((entry) => entry.id);
    const left = outbox
      .restored(memory.outbox(day))
      .filter((entry) => !mine.includes(entry.id));
    for (const entry of left) board.entries = outbox.queued(board.entries, entry);
  }

  function start() {
    let joined = false;
    stopWatching = memory.watch(compare);
    stopFollowing = link.follow(day, () => board.store.seq, {
      text(text) {
        const push = readPush(text);
        if (!push || push.push === 'problem') return;
        if (push.push === 'holders') {
          board.holders = push.holders;
          changed();
          return;
        }
        if (push.push === 'disk') {
          board.disk = { writes: push.writes, since: monotonic() };
          // What waits here need not wait for its next try.
          if (!isReadOnly(board)) {
            tries = 0;
            drain();
          }
          changed();
          return;
        }
        if (push.push === 'doors') {
          board.doors += 1;
          board.wrongTries = push.wrong_tries ?? null;
          changed();
          return;
        }
        const first = !joined && push.push === 'view';
        joined = joined || first;
        take(push, first);
      },
      line(up) {
        if (board.line.up !== up) {
          board.line = { up, since: monotonic() };
          if (up) adopt();
          // One that is read-only still says so when it is joined.
          if (up) board.disk = null;
        }
        if (!up) joined = false;
        if (up) {
          tries = 0;
          drain();
        }
        changed();
      },
      out: () => outside.putOut(),
      trouble(problem) {
        board.trouble = problem;
        changed();
      },
    });
    drain();
  }

  return Object.assign(board, {
    send,
    takeBack,
    dismiss,
    sawPutBack,
    start,
    refresh,
    now: () => serverNow(board.store.heard, monotonic()),
    stop() {
      stopped = true;
      stopFollowing();
      stopWatching();
    },
  });
}
