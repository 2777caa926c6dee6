// One day on this device: follows the server's pushes and brings this device's commands to it,
// one at a time and in order. Network, storage, randomness and time are passed in, so it runs in
// tests as in the browser. Invariant: a command is shown as done only once the view shows it.

import { EMPTY, applied } from './store.js';
import * as outbox from './outbox.js';
import { readPush, uuidFrom, verdictOf } from './protocol.js';
import { serverNow } from './clock.js';

/**
 * The board of `day`. `outside` holds `link`, `memory`, `randomBytes()`, `chance()`,
 * `monotonic()`, `later(ms, run)` and `changed()`.
 */
export function boardOf(day, outside) {
  const { link, memory, monotonic, later, changed } = outside;
  const board = {
    day,
    store: EMPTY,
    refusals: memory.refusals(day),
    trouble: null,
    entries: outbox.restored(memory.outbox(day)),
    line: { up: false, since: monotonic() },
  };
  const waiting = new Map();
  let sending = false;
  let tries = 0;
  let stopped = false;
  let stopFollowing = () => {};

  function settle(id, outcome) {
    waiting.get(id)?.(outcome);
    waiting.delete(id);
  }

  function take(push, joined) {
    const result = applied(board.store, { ...push, joined }, monotonic());
    board.store = result.store;
    const before = board.entries;
    board.entries = outbox.settled(before, board.store.seq, result.seen);
    for (const entry of before) {
      if (board.entries.includes(entry)) continue;
      memory.forget(day, entry.id);
      settle(entry.id, { accepted: true });
    }
    changed();
    if (result.gap) refresh();
  }

  async function refresh() {
    const answer = await link.get(`/api/days/${day}/view`);
    if (stopped) return;
    if (answer.status === 200) take({ push: 'view', ...answer.body }, false);
    else board.trouble = answer.body ?? null;
    changed();
  }

  function refuse(entry, problem) {
    board.entries = outbox.dropped(board.entries, entry.id);
    memory.forget(day, entry.id);
    const heard = waiting.has(entry.id) && entry.quiet;
    settle(entry.id, { accepted: false, problem });
    if (heard) return;
    const refusal = { id: entry.id, command: entry.command, problem };
    board.refusals = [...board.refusals.slice(-4), refusal];
    memory.keepRefusals(day, board.refusals);
  }

  function accept(entry, seq) {
    memory.forget(day, entry.id);
    board.entries = outbox.settled(
      outbox.acknowledged(board.entries, entry.id, seq),
      board.store.seq,
      [],
    );
    settle(entry.id, { accepted: true, seq });
    if (entry.then) send(entry.then);
  }

  async function drain() {
    if (sending || stopped) return;
    const entry = outbox.head(board.entries);
    if (!entry) return;
    sending = true;
    const body = { id: entry.id, command: entry.command };
    const answer = await link.post(`/api/days/${day}/commands`, body);
    sending = false;
    if (stopped) return;
    const verdict = answer.status === 0 ? 'again' : verdictOf(answer.status);
    if (verdict === 'again') {
      tries += 1;
      const asked = (answer.retryAfter ?? 0) * 1000;
      later(Math.max(asked, outbox.waitBefore(tries, outside.chance())), drain);
      changed();
      return;
    }
    tries = 0;
    if (verdict === 'accepted') accept(entry, answer.body.seq);
    else refuse(entry, answer.body ?? { status: answer.status });
    changed();
    drain();
  }

  /** Puts a command in the outbox; the promise tells how it ended. */
  function send(command, options = {}) {
    const id = uuidFrom(outside.randomBytes());
    const entry = { id, command, then: options.then, quiet: Boolean(options.quiet) };
    board.entries = outbox.queued(board.entries, entry);
    memory.keep(day, board.entries.at(-1));
    const outcome = new Promise((resolve) => {
      waiting.set(id, resolve);
    });
    changed();
    drain();
    return outcome;
  }

  /** Takes a refusal off the screen. */
  function dismiss(id) {
    board.refusals = board.refusals.filter((refusal) => refusal.id !== id);
    memory.keepRefusals(day, board.refusals);
    changed();
  }

  function start() {
    let joined = false;
    stopFollowing = link.follow(day, () => board.store.seq, {
      text(text) {
        const push = readPush(text);
        if (!push || push.push === 'problem') return;
        const first = !joined && push.push === 'view';
        joined = joined || first;
        take(push, first);
      },
      line(up) {
        if (board.line.up !== up) board.line = { up, since: monotonic() };
        if (!up) joined = false;
        if (up) {
          tries = 0;
          drain();
        }
        changed();
      },
      trouble(problem) {
        board.trouble = problem;
        changed();
      },
    });
    drain();
  }

  return Object.assign(board, {
    send,
    dismiss,
    start,
    refresh,
    now: () => serverNow(board.store.heard, monotonic()),
    stop() {
      stopped = true;
      stopFollowing();
    },
  });
}
