// Lets a page see a chosen outlook as if the board had pushed it: the socket to the real server is
// passed on, only the board's own outlooks are kept back. Invariant: what is pushed has the
// server's clock, so that its age is what the test says.

import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';

const SAMPLE = fileURLToPath(new URL('../../fixtures/wire/outlook.json', import.meta.url));
const MOMENTS = ['at', 'p10', 'p50', 'p90', 'open_by'];

/** The sample outlook of the orchard day, or that of another file. */
export const sampleOutlook = async (path = SAMPLE) => JSON.parse(await readFile(path, 'utf8'));

/** The outlook with all its moments moved, so that it was made at `at`. */
export function madeAt(outlook, at) {
  const by = at - outlook.at;
  const moved = (value, key) => {
    if (Array.isArray(value))
      return key === 'queue' ? value.map(([ms, n]) => [ms + by, n]) : value.map((one) => moved(one));
    if (value !== null && typeof value === 'object')
      return Object.fromEntries(Object.entries(value).map(([k, one]) => [k, moved(one, k)]));
    return MOMENTS.includes(key) ? value + by : value;
  };
  return moved(outlook);
}

/**
 * Call before the page is opened. The outlook follows each view and each patch, so it is always as
 * old as `age` says; `change(outlook, age)` pushes another one at once.
 */
export async function looksAhead(page, outlook, { age = 0 } = {}) {
  let shown = outlook;
  let old = age;
  let clock = null;
  let push = () => {};
  await page.routeWebSocket(/\/live/, (socket) => {
    const server = socket.connectToServer();
    push = () =>
      socket.send(
        JSON.stringify({ push: 'outlook', clock, outlook: madeAt(shown, clock.now - old) }),
      );
    server.onMessage((text) => {
      const message = JSON.parse(text);
      if (message.push === 'outlook') return;
      socket.send(text);
      if (!message.clock) return;
      clock = message.clock;
      push();
    });
  });
  return {
    change(next, nextAge = 0) {
      shown = next;
      old = nextAge;
      push();
    },
  };
}
