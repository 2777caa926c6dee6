// Labels and the shelf without a browser: where labels lie, who gets one, what is eaten next, and that
// a tap is never counted twice.

import test from 'node:test';
import assert from 'node:assert/strict';
import { screenAt } from '../../web/core/address.js';
import {
  inside,
  keptSheet,
  laidOut,
  letterSize,
  millimetres,
  PAPERS,
  sheetFault,
  SHEETS,
} from '../../web/core/label-sheet.js';
import {
  countOf,
  daysBetween,
  labelsOf,
  nextOf,
  oneOf,
  recalledOf,
  shownProducts,
  spanOfDays,
} from '../../web/core/package-lots.js';
import { sendUntilHeard } from '../../web/core/shelf-orders.js';

test('every ready sheet fits its paper, and no label lies over another or over the edge', () => {
  for (const sheet of SHEETS) {
    assert.equal(sheetFault(sheet), null);
    const labels = Array.from({ length: sheet.columns * sheet.rows + 1 }, (_, n) => n);
    const [first, second] = laidOut(sheet, labels);
    assert.equal(second.length, 1);
    const [width, height] = PAPERS[sheet.paper];
    for (const { label, left, top } of first) {
      assert.ok(left >= 0 && left + sheet.width <= width + 0.5, `${label}`);
      assert.ok(top >= 0 && top + sheet.height <= height + 0.5, `${label}`);
      for (const other of first) {
        const apart =
          Math.abs(other.left - left) >= sheet.width - 1e-9 ||
          Math.abs(other.top - top) >= sheet.height - 1e-9;
        assert.ok(other.label === label || apart, `${label} and ${other.label}`);
      }
    }
  }
});

test('a sheet that has begun goes on where it ended', () => {
  const sheet = { ...SHEETS[0], columns: 2, rows: 2, left: 5, top: 7, gapX: 3, gapY: 4 };
  const pages = laidOut(sheet, ['a', 'b', 'c'], 3);
  assert.deepEqual(
    pages.map((page) => page.map(({ label, left, top }) => [label, left, top])),
    [[['a', 71.5, 49.1]], [['b', 5, 7], ['c', 71.5, 7]]],
  );
});

test('a sheet that cannot be is named with what is wrong and by how much', () => {
  const sheet = SHEETS[0];
  assert.deepEqual(sheetFault({ ...sheet, rows: 0 }), { fault: 'number', measure: 'rows' });
  assert.deepEqual(sheetFault({ ...sheet, gapX: NaN }), { fault: 'number', measure: 'gapX' });
  assert.deepEqual(sheetFault({ ...sheet, left: -1 }), { fault: 'number', measure: 'left' });
  assert.deepEqual(sheetFault({ ...sheet, columns: 2.5 }), { fault: 'number', measure: 'columns' });
  assert.equal(sheetFault({ ...sheet, width: 37 }).fault, 'small');
  const wide = sheetFault({ ...sheet, columns: 4 });
  assert.equal(wide.fault, 'wide');
  // 7.2 + 4 times 63.5 + 3 times 2.5 is 268.7 mm on 210 mm of paper.
  assert.ok(Math.abs(wide.over - 58.7) < 1e-9);
  assert.equal(sheetFault({ ...sheet, rows: 8 }).fault, 'high');
  assert.deepEqual(['38,1', ' 7.25 ', '7'].map(millimetres), [38.1, 7.25, 7]);
  for (const bad of ['', '-3', '1e3', '3.123', 'x', '1000']) assert.ok(Number.isNaN(millimetres(bad)), bad);
  assert.equal(keptSheet('{"paper":"a4","width":-1}'), SHEETS[0]);
  assert.equal(keptSheet(null), SHEETS[0]);
});

test('the longer the words, the smaller the letters, and the code never below what a phone reads', () => {
  const lines = (n) => [{ text: 'x'.repeat(n), large: true }, { text: '260912-F1', large: true }];
  const sizes = [10, 40, 90].map((n) => letterSize(SHEETS[0], lines(n)));
  assert.ok(sizes[0] >= sizes[1] && sizes[1] > sizes[2] && sizes[2] >= 1.9, `${sizes}`);
  for (const sheet of SHEETS) assert.ok(inside(sheet).code >= 13 && inside(sheet).text > 18);
});

const JAR = { product_name: 'pears', load: { number: 1 }, waiting: 0, places: {} };

test('only what may be kept gets a label, and what gets none says why', () => {
  const lots = {
    '260912-F1': { ...JAR, left: { pantry: 4000, refrigerator: 1000 }, waiting: 2000 },
    '260912-H1': { ...JAR, load: undefined, left: { freezer: 2500, refrigerator: 1000 } },
    '260912-K1': { ...JAR, left: { pantry: 3000 }, recalled: { reason: 'doubt' } },
    '260912-L1': { ...JAR, left: {}, waiting: 7000 },
    '260912-M1': { ...JAR, left: {} },
    '260912-R1': { ...JAR, left: { pantry: -1000 } },
  };
  const { labels, none } = labelsOf(lots);
  assert.deepEqual(
    labels.map(({ code, kind, count }) => [code, kind, count]),
    [
      ['260912-F1', 'pantry', 4],
      ['260912-F1', 'unsealed', 1],
      ['260912-H1', 'freezer', 3],
      ['260912-H1', 'refrigerator', 1],
    ],
  );
  assert.deepEqual(
    none.map(({ code, why }) => [code, why]),
    [
      ['260912-F1', 'waiting'],
      ['260912-K1', 'recalled'],
      ['260912-L1', 'waiting'],
      ['260912-M1', 'gone'],
      ['260912-R1', 'gone'],
    ],
  );
});

test('what is cold for days goes first, then the oldest; never what is recalled', () => {
  const lot = (code, place, more = {}) => ({ code, place, left: 1000, ...more });
  const product = {
    name: 'Pears',
    waiting: 0,
    lots: [
      lot('1', 'pantry', { recalled: true, left: 3000 }),
      lot('2', 'pantry'),
      lot('3', 'refrigerator'),
      lot('4', 'pantry'),
    ],
  };
  assert.equal(nextOf(product).code, '3');
  assert.equal(nextOf(product, 'pantry').code, '2');
  assert.equal(nextOf(product, 'freezer'), null);
  assert.equal(recalledOf(product), 3);
  assert.deepEqual([oneOf(4000), oneOf(500), countOf(500), countOf(-1000)], [1000, 500, 1, 0]);
  assert.equal(shownProducts([product], { find: 'PEA', place: 'pantry' }).length, 1);
  assert.equal(shownProducts([product], { place: 'freezer' }).length, 0);
  assert.equal(shownProducts([product], { find: 'plum' }).length, 0);
});

test('ages are told in the unit that fits', () => {
  assert.equal(daysBetween('2026-09-12', '2027-09-12'), 365);
  assert.deepEqual([0, 13, 14, 69, 70, 365].map(spanOfDays), [
    ['days', 0], ['days', 13], ['weeks', 2], ['weeks', 9], ['months', 2], ['months', 12],
  ]);
});

test('an order is sent again under the same id until it is heard, and not for ever', async () => {
  const sent = [];
  const answers = [0, 503, 200];
  const post = async (_, body) => {
    sent.push(body.id);
    return { status: answers[sent.length - 1] ?? 0 };
  };
  const pause = async () => {};
  assert.equal((await sendUntilHeard(post, '/x', { id: 'a' }, pause)).status, 200);
  assert.deepEqual(sent, ['a', 'a', 'a']);
  assert.equal((await sendUntilHeard(post, '/x', { id: 'b' }, pause)).status, 0);
  assert.equal(sent.length, 6);
});

test('the address on a label leads to its lot, however it is typed, and follows no day', () => {
  assert.deepEqual(screenAt('#/lot/plums-2026/260912-k2'), {
    screen: 'lot', lotDay: 'plums-2026', code: '260912-K2',
  });
  assert.deepEqual(screenAt('#/shelf'), { screen: 'shelf' });
  assert.deepEqual(screenAt('#/day/plums-2026/labels'), { screen: 'labels', day: 'plums-2026' });
  assert.equal(screenAt('#/lot/UP/260912-K2').screen, 'days');
});
