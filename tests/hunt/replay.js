// Gives the browser's own board the inputs that the simulation's devices had, and compares what it
// does and what it shows at the end. Usage: node replay.js < RECORDS, one device of one run a line.

import assert from 'node:assert/strict';
import { createInterface } from 'node:readline';
import { boardOf } from '../../web/core/board.js';
import { memoryOf } from '../web/memory.js';

const turn = () =>
  new Promise((resolve) => {
    setImmediate(resolve);
  });

const bytesOf = (id) => Uint8Array.from(Buffer.from(id.replaceAll('-', ''), 'hex'));

/** A page around a board; `did` collects what it wants done. */
function pageOf(memory, world) {
  const page = { did: [], timers: [], posts: [], gets: [], on: null };
  const asked = (list) =>
    new Promise((resolve) => {
      list.push(resolve);
    });
  const link = {
    get: () => {
      page.did.push(['fetch']);
      return asked(page.gets);
    },
    post: (_, body) => {
      page.did.push(['post', body.id]);
      return asked(page.posts);
    },
    follow: (_, __, on) => {
      page.on = on;
      return () => {};
    },
  };
  page.board = boardOf('hunt', {
    link,
    memory,
    randomBytes: () => bytesOf(world.input.undo_id),
    chance: () => world.input.chance,
    monotonic: () => world.input.at,
    later: (ms, run) => {
      page.did.push(['later', page.timers.length, ms]);
      page.timers.push(run);
    },
    shown: (run) => run(),
    changed: () => {},
  });
  return page;
}

const DO = {
  send: (page, { id, command, hold }) => void page.board.send(command, { id, hold }),
  'take-back': (page, { id, undo }) => page.board.takeBack(id, undo),
  line: (page, { up }) => page.on.line(up),
  text: (page, { push }) => page.on.text(JSON.stringify(push)),
  timer: (page, { number }) => page.timers[number](),
  answer: (page, { status, body, retry_after: retryAfter }) =>
    page.posts.shift()({ status, body, retryAfter }),
  view: (page, { status, body }) => page.gets.shift()({ status, body }),
};

async function repeat({ seed, device, trace, end }) {
  const memory = memoryOf();
  const world = { input: null };
  let page = null;
  for (const [place, step] of trace.entries()) {
    world.input = step.in;
    if (step.in.do === 'open') {
      page = pageOf(memory, world);
      page.board.start();
    } else DO[step.in.do](page, step.in);
    // eslint-disable-next-line no-await-in-loop
    await turn();
    const where = `seed ${seed}, device ${device}, step ${place}: ${JSON.stringify(step.in).slice(0, 300)}`;
    assert.deepEqual(page.did, step.out, where);
    page.did = [];
  }
  const { store, entries } = page.board;
  const left = entries.map((entry) => [entry.id, entry.state === 'kept' ? entry.seq : null]);
  assert.deepEqual({ seq: store.seq, view: store.view, entries: left }, end, `seed ${seed}`);
}

let count = 0;
for await (const line of createInterface({ input: process.stdin })) {
  await repeat(JSON.parse(line));
  count += 1;
}
console.log(`${count} devices did the same`);
