// The outbox's promise: every tap reaches the server in order, with one id for ever, through lost
// answers and reloads; nothing is shown as done before the view shows it.

import test from 'node:test';
import assert from 'node:assert/strict';
import { boardOf, isReadOnly } from '../../web/core/board.js';
import { uuidFrom, idFrom, readPush, verdictOf } from '../../web/core/protocol.js';
import { waitBefore } from '../../web/core/outbox.js';
import { memoryOf } from './memory.js';

const clock = { now: 0, speed: 1 };
const turn = () =>
  new Promise((resolve) => {
    setImmediate(resolve);
  });

/** A world around a board: `answers` are given to posts in turn, then every post is accepted. */
function world({ memory = memoryOf(), answers = [], views = [] } = {}) {
  const posts = [];
  const later = [];
  let count = 0;
  let seq = 0;
  let on = null;
  const link = {
    get: async () => views.shift() ?? { status: 200, body: { seq, clock, view: { day: {} } } },
    post: async (path, body) => {
      posts.push(body);
      const answer = answers.shift();
      if (answer) return typeof answer === 'function' ? answer(body) : answer;
      seq += 1;
      return { status: 200, body: { id: body.id, seq } };
    },
    follow: (_, __, listener) => {
      on = listener;
      return () => {};
    },
  };
  const board = boardOf('pears', {
    link,
    memory,
    randomBytes: () => {
      count += 1;
      return Uint8Array.from({ length: 16 }, (_, i) => (count * 31 + i) % 256);
    },
    chance: () => 0.5,
    monotonic: () => 0,
    later: (ms, run) => later.push({ ms, run }),
    shown: (run) => run(),
    changed: () => {},
  });
  return {
    board,
    posts,
    views,
    memory,
    later,
    push: (message) => on.text(JSON.stringify(message)),
    line: (up) => on.line(up),
  };
}

const tap = (n) => ({ order: 'tally', station: `s${n}` });
const NONE = { status: 0, body: null };

test('taps are sent one at a time in the order they were made', async () => {
  let release;
  const held = () =>
    new Promise((resolve) => {
      release = () => resolve({ status: 200, body: { seq: 1 } });
    });
  const { board, posts } = world({ answers: [held] });
  board.send(tap(1));
  board.send(tap(2));
  board.send(tap(3));
  await turn();
  assert.deepEqual(
    posts.map((one) => one.command.station),
    ['s1'],
  );
  release();
  await turn();
  await turn();
  assert.deepEqual(
    posts.map((one) => one.command.station),
    ['s1', 's2', 's3'],
  );
});

test('when a copy took the journal\'s place, what was acknowledged and never shown is sent again', async () => {
  const { board, posts, push, memory } = world();
  const view = (journal, seq) => ({
    push: 'view',
    journal,
    seq,
    clock: { now: 1, speed: 1 },
    view: { day: {} },
  });
  board.start();
  push(view('aaaa0001', 0));
  board.send(tap(1));
  await turn();
  assert.equal(posts.length, 1);
  assert.equal(board.entries[0].state, 'kept', 'on disk, and the view does not show it yet');
  // The copy had gone on by itself, past the number of that tap.
  push(view('bbbb0002', 7));
  await turn();
  assert.equal(board.putBack, true);
  assert.deepEqual(
    posts.map((one) => one.id),
    [posts[0].id, posts[0].id],
    'the same tap under the same id',
  );
  await turn();
  assert.equal(memory.outbox('pears').length, 0, 'acknowledged once more');
  board.sawPutBack();
  push(view('bbbb0002', 9));
  assert.equal(board.putBack, false, 'said once');
  assert.equal(posts.length, 2);
});

test('a lost answer sends the same id again, before anything later', async () => {
  const { board, posts, later } = world({
    answers: [NONE, { status: 503, body: null, retryAfter: 2 }],
  });
  board.send(tap(1));
  board.send(tap(2));
  await turn();
  assert.equal(posts.length, 1);
  later.shift().run();
  await turn();
  assert.equal(later[0].ms >= 2000, true);
  later.shift().run();
  await turn();
  await turn();
  assert.deepEqual(
    posts.map((one) => one.command.station),
    ['s1', 's1', 's1', 's2'],
  );
  assert.equal(new Set(posts.slice(0, 3).map((one) => one.id)).size, 1);
  assert.notEqual(posts[3].id, posts[0].id);
});

test('a view that is refused for being asked too often is asked for again, and no trouble is shown', async () => {
  const { board, push, later, views } = world({
    views: [{ status: 429, body: { code: 'too-many-requests' }, retryAfter: 3 }],
  });
  board.start();
  push({ push: 'view', seq: 0, clock, view: { day: { name: 'old' } } });
  push({ push: 'patch', from: 5, seq: 6, clock, patch: {} });
  await turn();
  assert.equal(board.trouble, null);
  assert.equal(later[0].ms > 3000, true);
  later.shift().run();
  await turn();
  assert.equal(views.length, 0);
  assert.deepEqual(board.store.view, { day: {} });
});

test('nobody comes back at the very moment the server named: they were all told the same', async () => {
  const busy = { status: 429, body: null, retryAfter: 1 };
  const { board, posts, later } = world({ answers: [busy, busy] });
  board.send(tap(1));
  await turn();
  assert.equal(later[0].ms > 1000, true);
  later.shift().run();
  await turn();
  assert.equal(later[0].ms > 1000, true);
  later.shift().run();
  await turn();
  assert.equal(new Set(posts.map((one) => one.id)).size, 1);
  assert.equal(posts.length, 3);
});

test('unsent taps survive a reload with their ids and their order', async () => {
  const memory = memoryOf();
  const first = world({ memory, answers: [NONE] });
  first.board.send(tap(1));
  first.board.send(tap(2));
  first.board.send(tap(3));
  await turn();
  first.board.stop();
  const ids = first.board.entries.map((entry) => entry.id);
  const turned = memoryOf(new Map([...memory.shelf].reverse()));
  const second = world({ memory: turned });
  second.board.start();
  await turn();
  await turn();
  await turn();
  assert.deepEqual(
    second.posts.map((one) => one.id),
    ids,
  );
  assert.equal(turned.shelf.size, 0);
});

test('an acknowledged tap stays pending until the view has come that far', async () => {
  const { board, push } = world();
  board.start();
  push({ push: 'view', seq: 0, clock, view: { day: {} } });
  board.send(tap(1));
  await turn();
  assert.deepEqual(
    board.entries.map((entry) => entry.state),
    ['kept'],
  );
  push({ push: 'patch', from: 0, seq: 1, clock, commands: ['another'], patch: {} });
  assert.equal(board.entries.length, 0);
});

test('a tap named by a push is settled even when its own answer was lost', async () => {
  const { board, push, memory } = world({ answers: [NONE] });
  board.start();
  push({ push: 'view', seq: 0, clock, view: { day: {} } });
  const outcome = board.send(tap(1));
  await turn();
  push({ push: 'patch', from: 0, seq: 1, clock, commands: [board.entries[0].id], patch: {} });
  assert.deepEqual(await outcome, { accepted: true });
  assert.equal(board.entries.length, 0);
  assert.equal(memory.shelf.size, 0);
});

test('a refusal is kept in words, drops only its own tap, and the rest goes on', async () => {
  const problem = { code: 'not-enough', detail: 'Less is waiting.', instead: 'Recount.' };
  const { board, posts, memory } = world({ answers: [{ status: 409, body: problem }] });
  board.send(tap(1));
  board.send(tap(2));
  await turn();
  await turn();
  assert.equal(posts.length, 2);
  assert.deepEqual(
    board.refusals.map((one) => one.problem),
    [problem],
  );
  assert.equal(memory.shelf.size, 0);
  board.dismiss(board.refusals[0].id);
  assert.equal(board.refusals.length, 0);
});

test('a form hears its own refusal, and no notice is left behind', async () => {
  const { board } = world({ answers: [{ status: 409, body: { code: 'bad-value' } }] });
  const outcome = await board.send({ order: 'add-lot' }, { quiet: true });
  assert.equal(outcome.problem.code, 'bad-value');
  assert.equal(board.refusals.length, 0);
});

test('after an offer is accepted the first order is tried again as a new command', async () => {
  const { board, posts } = world();
  board.send({ order: 'set-up', station: 'dishes', instead_of: 'wash' }, { then: tap(1) });
  await turn();
  await turn();
  await turn();
  assert.deepEqual(
    posts.map((one) => one.command.order),
    ['set-up', 'tally'],
  );
  assert.notEqual(posts[0].id, posts[1].id);
});

test('a gap in the pushes fetches a fresh view', async () => {
  const { board, push } = world();
  board.start();
  push({ push: 'view', seq: 0, clock, view: { day: { name: 'old' } } });
  await board.send(tap(1));
  push({ push: 'patch', from: 5, seq: 6, clock, patch: {} });
  await turn();
  await turn();
  assert.equal(board.store.seq, 1);
  assert.deepEqual(board.store.view, { day: {} });
});

test('ids are version 4 UUIDs and readable names', () => {
  assert.match(
    uuidFrom(new Uint8Array(16).fill(255)),
    /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
  );
  assert.equal(idFrom('Core & Slice', [], 'station'), 'core-slice');
  assert.equal(idFrom('Core & Slice', ['core-slice', 'core-slice-2'], 'station'), 'core-slice-3');
  assert.equal(idFrom('梨', [], 'lot'), 'lot');
  assert.equal(idFrom('x'.repeat(90), [], 'lot').length <= 40, true);
});

test('only well-formed pushes are taken', () => {
  for (const text of [
    '',
    'x',
    '[]',
    '{"push":"view"}',
    '{"push":"patch","seq":1,"clock":{"now":1,"speed":1},"patch":{}}',
    'null',
    '{"push":"view","seq":1,"clock":{"now":1},"view":{}}',
  ]) {
    assert.equal(readPush(text), null, text);
  }
  assert.equal(readPush('{"push":"outlook","clock":{"now":1,"speed":1},"outlook":{}}'), null);
  assert.equal(readPush('{"push":"outlook","outlook":{"at":7}}'), null);
  const ahead = readPush('{"push":"outlook","clock":{"now":1,"speed":1},"outlook":{"at":7}}');
  assert.equal(ahead.outlook.at, 7);
  const none = readPush('{"push":"outlook","clock":{"now":1,"speed":1}}');
  assert.equal(none.push, 'outlook', 'there is none any more');
  assert.equal(readPush('{"push":"view","seq":1,"clock":{"now":1,"speed":1},"view":{}}').seq, 1);
});

test('answers are sorted into accepted, refused and again', () => {
  assert.deepEqual([200, 201, 400, 403, 404, 409, 429, 500, 503].map(verdictOf), [
    'accepted',
    'accepted',
    'refused',
    'refused',
    'refused',
    'refused',
    'again',
    'again',
    'again',
  ]);
});

test('waiting grows, is spread, and never exceeds four seconds', () => {
  assert.equal(waitBefore(1, 0) < waitBefore(3, 0), true);
  for (let tries = 1; tries < 60; tries += 1)
    for (const chance of [0, 0.5, 1]) assert.equal(waitBefore(tries, chance) <= 4000, true);
  assert.notEqual(waitBefore(4, 0), waitBefore(4, 1));
});

test('a tap that never left is forgotten when it is taken back', async () => {
  let release;
  const held = () =>
    new Promise((resolve) => {
      release = () => resolve({ status: 200, body: { seq: 1 } });
    });
  const { board, posts, memory } = world({ answers: [held] });
  board.send(tap(1));
  const outcome = board.send(tap(2));
  await turn();
  board.takeBack(board.entries[1].id, tap(9));
  assert.equal((await outcome).takenBack, true);
  assert.equal(memory.shelf.size, 1);
  release();
  await turn();
  await turn();
  assert.deepEqual(
    posts.map((one) => one.command.station),
    ['s1'],
  );
});

test('a tap that may be on the server is undone after it, also over a reload', async () => {
  const memory = memoryOf();
  const first = world({ memory, answers: [NONE] });
  first.board.send(tap(1));
  await turn();
  first.board.takeBack(first.board.entries[0].id, { order: 'undo-tally', station: 's1' });
  first.board.stop();
  const second = world({ memory });
  second.board.start();
  for (let n = 0; n < 4; n += 1) await turn();
  assert.deepEqual(
    second.posts.map((one) => one.command.order),
    ['tally', 'undo-tally'],
  );
});

test('a tap that is refused is not undone as well', async () => {
  let release;
  const held = () =>
    new Promise((resolve) => {
      release = () => resolve({ status: 409, body: { code: 'not-enough' } });
    });
  const { board, posts } = world({ answers: [held] });
  board.send(tap(1));
  await turn();
  board.takeBack(board.entries[0].id, { order: 'undo-tally', station: 's1' });
  release();
  for (let n = 0; n < 3; n += 1) await turn();
  assert.equal(posts.length, 1);
  assert.equal(board.refusals.length, 1);
});

test('a push that shows a tap before its answer comes does not lose what follows it', async () => {
  const { board, posts, push } = world({ answers: [NONE] });
  board.start();
  push({ push: 'view', seq: 0, clock, view: { day: {} } });
  board.send(tap(1), { then: tap(2) });
  await turn();
  push({ push: 'patch', from: 0, seq: 1, clock, commands: [board.entries[0].id], patch: {} });
  for (let n = 0; n < 3; n += 1) await turn();
  assert.deepEqual(
    posts.map((one) => one.command.station),
    ['s1', 's2'],
  );
});

test('what is held back waits, lets others pass, and leaves on the next load at the latest', async () => {
  const memory = memoryOf();
  const { board, posts, later } = world({ memory });
  board.send(tap(1), { hold: 8000 });
  board.send(tap(2));
  for (let n = 0; n < 2; n += 1) await turn();
  assert.deepEqual(
    posts.map((one) => one.command.station),
    ['s2'],
  );
  assert.equal(later[0].ms, 8000);
  board.stop();
  const next = world({ memory });
  next.board.start();
  for (let n = 0; n < 2; n += 1) await turn();
  assert.deepEqual(
    next.posts.map((one) => one.command.station),
    ['s1'],
  );
});

test('what another tab of the device has brought is not brought again', async () => {
  const memory = memoryOf();
  const first = world({ memory, answers: [NONE] });
  first.board.send(tap(1));
  first.board.send(tap(2));
  await turn();
  const second = world({ memory });
  second.board.start();
  await turn();
  await turn();
  assert.deepEqual(
    second.posts.map((post) => post.command),
    [tap(1), tap(2)],
  );
  first.later.shift().run();
  await turn();
  assert.equal(first.posts.length, 1, 'only the try before');
  assert.deepEqual(first.board.entries, []);
});

test('what a closed tab had kept is brought by one that is open, once the line is up', async () => {
  const memory = memoryOf();
  const open = world({ memory });
  open.board.start();
  const closed = world({ memory, answers: [NONE] });
  closed.board.send(tap(7));
  await turn();
  open.line(true);
  await turn();
  assert.deepEqual(
    open.posts.map((post) => post.command),
    [tap(7)],
  );
});

test('a refusal another tab was given is shown here, and nothing is tried a second time', async () => {
  const memory = memoryOf();
  const first = world({ memory, answers: [NONE] });
  first.board.send(tap(1));
  await turn();
  const problem = { status: 409, code: 'amount' };
  const second = world({ memory, answers: [{ status: 409, body: problem }] });
  second.board.start();
  await turn();
  first.later.shift().run();
  await turn();
  assert.equal(first.posts.length, 1);
  assert.deepEqual(
    first.board.refusals.map((one) => one.problem),
    [problem],
  );
});

test('no refusal disappears, however many there are', async () => {
  const answers = Array.from({ length: 9 }, () => ({ status: 409, body: { status: 409 } }));
  const { board } = world({ answers });
  for (let n = 0; n < 9; n += 1) board.send(tap(n));
  for (let n = 0; n < 12; n += 1) await turn();
  assert.equal(board.refusals.length, 9);
});

test('a disk without room keeps taps waiting, and they go the moment it has room again', async () => {
  const full = { status: 507, body: { code: 'storage-full' }, retryAfter: 1 };
  const { board, posts, later, push, line } = world({ answers: [full] });
  board.start();
  line(true);
  push({ push: 'view', seq: 0, clock, view: {} });
  assert.equal(isReadOnly(board), false);
  push({ push: 'disk', writes: 'full' });
  assert.equal(isReadOnly(board), true);
  board.send(tap(1));
  await turn();
  assert.deepEqual([posts.length, board.entries.length, board.refusals.length], [1, 1, 0]);
  // The next try by itself may be long in coming: the push is what sends it.
  assert.equal(later.length, 1);
  push({ push: 'disk', writes: 'work' });
  await turn();
  assert.equal(isReadOnly(board), false);
  assert.deepEqual([posts.length, posts[1].id === posts[0].id], [2, true]);
  assert.equal(board.entries[0].state, 'kept');
});

test('after a new connection the disk is thought to work until the board says otherwise', () => {
  const { board, push, line } = world();
  board.start();
  line(true);
  push({ push: 'disk', writes: 'fail' });
  push({ push: 'view', seq: 0, clock, view: {} });
  assert.equal(isReadOnly(board), true);
  line(false);
  line(true);
  assert.equal(isReadOnly(board), false);
  assert.equal(readPush('{"push":"disk"}'), null);
});
