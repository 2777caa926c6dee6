// What a new day is led through, and when that ends.

import test from 'node:test';
import assert from 'node:assert/strict';
import { firstSteps, hasBegun } from '../../web/core/first-steps.js';

const CANNED = { pears: { name: 'Pears', ends_in: { as: 'canned', jar: 'quart' } } };
const empty = () => ({
  day: { phase: 'open' },
  products: CANNED,
  stations: { wash: { name: 'Wash', waiting: {} } },
});
const told = (view) => firstSteps(view).map(({ step, done }) => `${step}${done ? ' done' : ''}`);

test('a new day asks for fruit, people, the altitude where jars are meant, and a first box', () => {
  const view = empty();
  assert.deepEqual(told(view), ['fruit', 'people', 'altitude', 'box']);
  view.lots = { hill: { unopened: 36000, amount: 36000 } };
  view.helpers = { edda: { name: 'Edda' } };
  view.day.altitude_ft = 0;
  assert.deepEqual(told(view), ['fruit done', 'people done', 'box']);
  view.day.altitude_ft = undefined;
  view.products = { bags: { name: 'Bags', ends_in: { as: 'frozen' } } };
  assert.deepEqual(told(view), ['fruit done', 'people done', 'box']);
});

test('it ends with the first box, with work of an earlier day, and with the day', () => {
  const opened = { ...empty(), lots: { hill: { unopened: 18000, amount: 36000 } } };
  assert.equal(hasBegun(opened), true);
  assert.equal(firstSteps(opened), null);
  const carried = empty();
  carried.stations.wash.waiting = { pears: { amount: 3000, lots: { hill: 3000 } } };
  assert.equal(firstSteps(carried), null);
  const closed = empty();
  closed.day.phase = 'closed';
  assert.equal(firstSteps(closed), null);
});
