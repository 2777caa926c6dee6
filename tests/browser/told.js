// Lets a page look back on the written day, as `putby lookback` tells it, and see what two such days
// could have taught. Invariant: the figures of the look back are the program's own.

import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { program } from './program.js';

const WRITTEN = fileURLToPath(new URL('../../fixtures/days/orchard-day.ndjson', import.meta.url));

/** The written day, looked back on. */
export function writtenDay() {
  const args = ['lookback', WRITTEN, '--json', '--earlier', WRITTEN];
  return JSON.parse(execFileSync(program(), args, { encoding: 'utf8', maxBuffer: 1 << 28 }));
}

const lesson = (of, value, usual, counts, more) => ({ of, value, usual, counts, ...more });

/** One lesson of each kind. */
export const LEARNED = {
  days: [
    { name: 'Orchard day', date: '2026-09-12' },
    { name: 'Late peaches', date: '2026-09-19' },
  ],
  helpers: { osk: 'Osk', bo: 'Bo' },
  stations: { canners: 'Canners', cook: 'Cook down', pare: 'Peel, halve and core pears' },
  products: { 'pears-quart': 'Pear halves, quarts', 'plum-spread': 'Plum spread' },
  lessons: [
    lesson('heating', 31.4, 25, 2.5, { station: 'canners' }),
    lesson('after', 12.2, 10, 2.5, { station: 'canners' }),
    lesson('pot', 1.12, 1, 1, { station: 'cook', set_at: 1789819200000 }),
    lesson('yield', 0.93, 1, 3.2, { station: 'pare', product: 'pears-quart' }),
    lesson('break', 14, 12, 4, {}),
    lesson('speed', 1.15, 1, 18, { helper: 'osk', station: 'pare' }),
    lesson('speed', 0.9, 1, 6.5, { helper: 'bo', station: 'pare' }),
    {
      of: 'scorch',
      station: 'cook',
      at: 1789210000000,
      counts: 1,
      what: 'plum-spread',
      note: 'Burnt at the bottom while we ate',
    },
  ],
};

let day = null;

/** Call before the page is opened. */
export async function looksBack(page) {
  day ??= writtenDay();
  const answers = (path, json) => page.route(path, (route) => route.fulfill({ json }));
  await answers(/\/look-back$/, day.look_back);
  await answers(/\/look-back\/finish$/, day.finish);
  await answers(/\/look-back\/beside$/, { days: [day.summary, ...day.earlier] });
  await answers(/\/api\/learned$/, LEARNED);
}
