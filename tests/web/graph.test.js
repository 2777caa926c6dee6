// The drawing's promise: boxes never overlap and stay in their area; work always flows forward.

import test from 'node:test';
import assert from 'node:assert/strict';
import { isLane, layered } from '../../web/core/graph.js';
import { placed } from '../../web/core/placing.js';
import { edgesOf, stationsInOrder } from '../../web/core/flow.js';
import { rehearsalView } from '../browser/rehearsal-view.js';

function chances(seed) {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return state / 4294967296;
  };
}

function randomKitchen(seed) {
  const chance = chances(seed);
  const count = 1 + Math.floor(chance() * 14);
  const ids = Array.from({ length: count }, (_, i) => `s${i}`);
  const any = () => ids[Math.floor(chance() * count)];
  return {
    ids,
    edges: Array.from({ length: Math.floor(chance() * 24) }, () => ({ from: any(), to: any() })),
  };
}

const area = (across) => ({
  width: across ? 1880 : 690,
  height: across ? 600 : 660,
  across,
  gap: 18,
  least: 70,
  most: 380,
  beside: 10,
});
const overlap = (a, b) =>
  a.x < b.x + b.width - 0.01 &&
  b.x < a.x + a.width - 0.01 &&
  a.y < b.y + b.height - 0.01 &&
  b.y < a.y + a.height - 0.01;

function check({ ids, edges }, across, label) {
  const graph = layered(ids, edges);
  const plan = placed(graph, area(across));
  const boxes = ids.map((id) => [id, plan.boxes.get(id)]);
  for (const [id, box] of boxes) {
    assert.ok(box, `${label}: ${id} has a box`);
    assert.ok(box.width > 0 && box.height > 0, `${label}: ${id} has room`);
    assert.ok(
      box.x >= -0.01 &&
        box.y >= -0.01 &&
        box.x + box.width <= plan.width + 0.01 &&
        box.y + box.height <= plan.height + 0.01,
      `${label}: ${id} inside`,
    );
  }
  boxes.forEach(([a, one], index) =>
    boxes
      .slice(index + 1)
      .forEach(([b, other]) => assert.ok(!overlap(one, other), `${label}: ${a} over ${b}`)),
  );
  const along = across ? 'x' : 'y';
  const long = across ? 'width' : 'height';
  for (const { from, to } of graph.chains) {
    const [a, b] = [plan.boxes.get(from), plan.boxes.get(to)];
    assert.ok(a[along] + a[long] <= b[along] + 0.01, `${label}: ${from} before ${to}`);
  }
  for (const curve of plan.curves) assert.doesNotMatch(curve.d, /NaN|undefined/, label);
}

test('boxes never overlap and ways lead forward, in many random kitchens', () => {
  for (let seed = 1; seed <= 400; seed += 1)
    for (const across of [true, false])
      check(randomKitchen(seed), across, `seed ${seed} ${across}`);
});

test('a way round in a circle is drawn back once, not dropped', () => {
  const graph = layered(
    ['a', 'b', 'c'],
    [
      { from: 'a', to: 'b' },
      { from: 'b', to: 'c' },
      { from: 'c', to: 'a' },
    ],
  );
  assert.deepEqual(
    graph.back.map(({ from, to }) => [from, to]),
    [['c', 'a']],
  );
  assert.equal(graph.chains.length, 2);
});

test('the layer of a station is the longest way to it', () => {
  const graph = layered(
    ['wash', 'scald', 'slice'],
    [
      { from: 'wash', to: 'slice' },
      { from: 'wash', to: 'scald' },
      { from: 'scald', to: 'slice' },
    ],
  );
  assert.deepEqual(
    graph.layers.map((layer) => layer.filter((id) => !isLane(id))),
    [['wash'], ['scald'], ['slice']],
  );
});

test('stations beside the flow stand where there is most room', () => {
  assert.deepEqual(layered(['a', 'b', 'dishes'], [{ from: 'a', to: 'b' }]).layers, [
    ['a', 'dishes'],
    ['b'],
  ]);
});

test('a whole kitchen is ordered as its work flows', () => {
  const view = rehearsalView(0);
  const order = stationsInOrder(view);
  assert.equal(order[0], 'wash');
  for (const { from, to } of edgesOf(view))
    assert.ok(order.indexOf(from) < order.indexOf(to), `${from} before ${to}`);
  assert.equal(order.length, Object.keys(view.stations).length);
});
