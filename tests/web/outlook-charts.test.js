// The outlook's charts: nothing outside its field, later never lower, a queue that keeps its depth.

import test from 'node:test';
import assert from 'node:assert/strict';
import { finishChart, sparkOf } from '../../web/core/outlook-charts.js';
import { sparkWords } from '../../web/parts/outlook/spark.js';
import { rehearsalView } from '../browser/rehearsal-view.js';
import { rehearsalOutlook } from '../browser/rehearsal-outlook.js';

const MIN = 60000;
const NOW = Date.UTC(2026, 8, 12, 11, 0);
const SIZE = { width: 100, height: 50, left: 10, right: 5, top: 4, bottom: 6 };
const band = (at, early, middle, late) => ({
  at,
  p10: NOW + early * MIN,
  p50: NOW + middle * MIN,
  p90: NOW + late * MIN,
});
const numbers = (path) => path.match(/-?\d+(\.\d+)?/g).map(Number);

test("a queue keeps its depth until the next point and fills the hour's width", () => {
  const queue = [
    [NOW - 60 * MIN, 0],
    [NOW - 30 * MIN, 4],
    [NOW - 15 * MIN, 2],
  ];
  const spark = sparkOf(queue, NOW, { width: 60, height: 12 });
  assert.equal(spark.line, 'M0 11H30V1H45V6H60');
  assert.deepEqual([spark.first, spark.most, spark.last], [0, 4, 2]);
});

test('a queue that was always empty is a line at the foot, none is none', () => {
  const spark = sparkOf([[NOW - 10 * MIN, 0]], NOW, { width: 60, height: 12 });
  assert.equal(spark.line, 'M50 11H60');
  assert.equal(spark.most, 0);
  assert.equal(sparkOf([], NOW, { width: 60, height: 12 }), null);
  assert.equal(sparkOf(undefined, NOW, { width: 60, height: 12 }), null);
});

test('the chart of a queue is said in words, in its own carrier', () => {
  const view = rehearsalView(NOW);
  const ahead = rehearsalOutlook(NOW);
  ahead.stations.wash.queue = [
    [NOW - 60 * MIN, 2],
    [NOW - 20 * MIN, 8.5],
    [NOW, 5.25],
  ];
  assert.equal(
    sparkWords(view, ahead, 'wash'),
    'Queue of the last hour: 2 at first, 8½ at the most, 5¼ now, in bowls.',
  );
  assert.equal(sparkWords(view, ahead, 'nowhere'), '');
});

test('later is higher, and everything stays in the field', () => {
  const seen = {
    at: NOW,
    finish: band(NOW, 100, 120, 150),
    earlier: [band(NOW - 90 * MIN, 60, 100, 190), band(NOW - 30 * MIN, 90, 118, 160)],
  };
  const chart = finishChart(seen, NOW + 130 * MIN, SIZE);
  const { early, middle, late, x } = chart.now;
  assert.ok(late < middle && middle < early);
  assert.ok(chart.cutOff < middle && chart.cutOff > late, 'between the middle and the late end');
  assert.equal(x, SIZE.width - SIZE.right);
  for (const path of [chart.band, chart.middle]) {
    numbers(path).forEach((n, index) => {
      const [least, most] = index % 2 ? [SIZE.top, 44] : [SIZE.left, 95];
      assert.ok(n >= least - 0.05 && n <= most + 0.05, `${n} in ${path}`);
    });
  }
});

test('a first outlook has a band for now alone, and no finish has no chart', () => {
  const first = finishChart({ at: NOW, finish: band(NOW, 100, 120, 150), earlier: [] }, null, SIZE);
  assert.deepEqual([first.band, first.middle, first.cutOff], ['', '', null]);
  assert.equal(finishChart({ at: NOW, earlier: [] }, NOW, SIZE), null);
  assert.equal(finishChart(null, NOW, SIZE), null);
});

test('a certain finish still has a height, and every mark on the axes lies in the field', () => {
  const sure = { at: NOW, finish: band(NOW, 100, 100, 100), earlier: [band(NOW - 400 * MIN, 9, 9, 9)] };
  const chart = finishChart(sure, NOW + 100 * MIN, SIZE, -5 * 60 * MIN);
  for (const { y } of chart.up) assert.ok(y >= SIZE.top && y <= 44, String(y));
  for (const { x } of chart.across) assert.ok(x >= SIZE.left && x <= 95, String(x));
  assert.ok(chart.up.length >= 1 && chart.up.length <= 6);
});
