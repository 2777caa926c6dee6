// Some devices in one process, which the parent tells what to do: the browser's own board and link on
// a real network. Usage: fork(devices.js, [HOST, COUNT]); messages `tap` and `report`.

import { createHash, randomBytes } from 'node:crypto';
import { boardOf } from '../../web/core/board.js';
import { follow, get, post } from '../../web/net/link.js';
import { beBrowserOf } from './browser-in-node.js';
import { memoryOf } from '../web/memory.js';

const [host, count] = [process.argv[2], Number(process.argv[3])];
beBrowserOf(host);

const boards = Array.from({ length: count }, () => {
  const board = boardOf('cut', {
    link: { follow, get, post },
    memory: memoryOf(),
    randomBytes: () => randomBytes(16),
    chance: Math.random,
    monotonic: () => performance.now(),
    later: (ms, run) => setTimeout(run, ms),
    shown: (run) => run(),
    changed: () => {},
  });
  board.start();
  return board;
});

/** JSON with the members of objects in order, so that equal views are equal texts. */
const ordered = (value) =>
  value && typeof value === 'object' && !Array.isArray(value)
    ? Object.fromEntries(Object.keys(value).sort().map((key) => [key, ordered(value[key])]))
    : value;
const hash = (view) => createHash('sha256').update(JSON.stringify(ordered(view))).digest('hex');

let taps = 0;
process.on('message', (message) => {
  if (message === 'tap') {
    for (const board of boards) {
      taps += 1;
      const text = `${host} ${taps}`;
      board.send({ order: 'note', on: { about: 'day' }, text });
    }
    return;
  }
  process.send(
    boards.map(({ store, entries, refusals }) => ({
      seq: store.seq,
      hash: hash(store.view),
      waiting: entries.length,
      refused: refusals.length,
      taps,
    })),
  );
});
