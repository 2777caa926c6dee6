// Numbers and times as people read them, never more than is there; every word that is asked for
// exists.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import {
  carried,
  countdown,
  decimal,
  listed,
  measured,
  momentOn,
  parsedAmount,
  quarters,
  running,
  span,
} from '../../web/core/format.js';
import { alsoSpeak, known, t } from '../../web/words/words.js';
import * as access from '../../web/words/access/en.js';
import * as rare from '../../web/words/rare/en.js';
import * as season from '../../web/words/season/en.js';
import { orderWords } from '../../web/core/orders.js';
import { heardClock, serverNow } from '../../web/core/clock.js';
import { depthTable } from '../../web/core/depth-table.js';

const plain = (text) => text.replaceAll('\u00a0', ' ');
const WEB = new URL('../../web/', import.meta.url).pathname;

test('amounts are plain decimals cut, never rounded up', () => {
  assert.deepEqual([0, 2500, 7000, 1999, 125, -500].map(decimal), [
    '0',
    '2.5',
    '7',
    '1.99',
    '0.12',
    '−0.5',
  ]);
  assert.equal(plain(measured(1000, 'jar')), '1 jar');
  assert.equal(plain(measured(17500, 'lb')), '17.5 lb');
});

test('carriers are said to the quarter, never more than there is', () => {
  assert.deepEqual([0, 100, 250, 1000, 2500, 2999].map(quarters), [
    '0',
    'under ¼',
    '¼',
    '1',
    '2½',
    '2¾',
  ]);
  assert.equal(plain(carried(1000, 'bowl')), '1 bowl');
  assert.equal(plain(carried(1125, 'pot')), '1 pot');
  assert.equal(plain(carried(3000, 'dish')), '3 dishes');
  assert.equal(plain(carried(500, 'tray')), '½ tray');
});

test('typed amounts are exact or nothing', () => {
  assert.deepEqual(
    ['2.5', '2,5', '7', '0.125', ' 3 '].map(parsedAmount),
    [2500, 2500, 7000, 125, 3000],
  );
  assert.deepEqual(['', 'x', '-1', '1.2345', '1e3', '1.2.3'].map(parsedAmount), [
    null,
    null,
    null,
    null,
    null,
    null,
  ]);
});

test('a typed amount comes back as it was typed', () => {
  for (let amount = 0; amount < 40000; amount += 10)
    assert.equal(parsedAmount(decimal(amount)), amount);
});

test('a countdown shows 0:00 only when it is over', () => {
  assert.deepEqual([0, 1, 999, 1000, 61000, 3600000].map(countdown), [
    '0:00',
    '0:01',
    '0:01',
    '0:01',
    '1:01',
    '1:00:00',
  ]);
  assert.deepEqual([999, 61000].map(running), ['0:00', '1:01']);
  assert.deepEqual(
    [40000, 840000, 11100000].map((ms) => plain(span(ms))),
    ['40 s', '14 min', '3 h 5 min'],
  );
});

test('names make a sentence', () => {
  assert.deepEqual([[], ['Bo'], ['Bo', 'Wren'], ['Bo', 'Wren', 'Osk']].map(listed), [
    '',
    'Bo',
    'Bo and Wren',
    'Bo, Wren and Osk',
  ]);
});

test('times of day are moments of the date, or nothing', () => {
  assert.equal(momentOn('2026-09-12', '15:30'), new Date(2026, 8, 12, 15, 30).getTime());
  assert.equal(momentOn('2026-09-12', ''), undefined);
});

test('server time goes on by the monotonic clock and the speed', () => {
  const heard = heardClock({ now: 1_000_000, speed: 60 }, 500);
  assert.equal(serverNow(heard, 1500), 1_060_000);
  assert.equal(serverNow(null, 1), null);
});

test('queues of different stations share one time axis', () => {
  const table = depthTable(
    [
      {
        depth: [
          [0, 1000],
          [2000, 3000],
        ],
      },
      { depth: [[1000, 500]] },
    ],
    3000,
  );
  assert.deepEqual(table, [
    [0, 1, 2, 3],
    [1, 1, 3, 3],
    [null, 0.5, 0.5, 0.5],
  ]);
});

function sources(folder) {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return name === 'vendor' ? [] : sources(path);
    return name.endsWith('.js') && name !== 'en.js' ? [path] : [];
  });
}

test('every key that stands in the source has words', () => {
  for (const part of [season, access, rare]) alsoSpeak(part);
  const missing = sources(WEB).flatMap((path) =>
    [...readFileSync(path, 'utf8').matchAll(/\bt\((?:[^`()']*\?\s*)?'([a-z][\w.-]*)'/g)]
      .map(([, key]) => key)
      .filter((key) => !key.endsWith('.js'))
      .filter((key) => !known(key))
      .map((key) => `${path.slice(WEB.length)}: ${key}`),
  );
  assert.deepEqual(missing, []);
});

test('every order of the protocol has words', () => {
  const source = readFileSync(new URL('../../src/day/command.rs', import.meta.url), 'utf8');
  const body = source.slice(
    source.indexOf('pub enum Command'),
    source.indexOf('/// A station on a product'),
  );
  const names = [...body.matchAll(/^ {4}([A-Z][A-Za-z]+) \{/gm)].map(([, name]) =>
    name.replace(/(?<!^)([A-Z])/g, '-$1').toLowerCase(),
  );
  assert.ok(names.length > 40);
  for (const name of names) assert.ok(known(`order.${name}`), name);
  assert.equal(
    orderWords(null, { order: 'set-up', station: 'dishes', instead_of: 'wash' }),
    'Set up dishes in the place of wash',
  );
});

test('plurals follow the count', () => {
  assert.equal(t('claim.free', { n: 1 }), '1 seat free');
  assert.equal(t('claim.free', { n: 2 }), '2 seats free');
});
