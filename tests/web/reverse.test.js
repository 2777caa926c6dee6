// Taking an order back: what the orders are, and that others' work in between is kept.

import test from 'node:test';
import assert from 'node:assert/strict';
import { reverseOf } from '../../web/core/reverse.js';

const VIEW = {
  day: { name: 'Pears', altitude_ft: 640, cut_off_at: 5000, age_rules: { blade: [] } },
  stations: {
    wash: {
      name: 'Wash',
      work: 'wash',
      nature: { is: 'hand' },
      seats: 2,
      needs: [],
      occupies: {},
      set_up: true,
      seated: { bo: { since: 1, beside: 'edda' } },
      waiting: { pears: { amount: 9000, lots: { hill: 9000 } } },
      free: 1,
    },
    cook: { name: 'Cook', pots: { big: { minder: 'edda', backup: 'osk' } } },
  },
  helpers: {
    bo: { name: 'Bo', sign: 'star', age: 6, station: 'wash', presence: 'here' },
    edda: { name: 'Edda', sign: 'hen', age: 66, presence: 'here' },
  },
  supplies: { lids: { name: 'lids', unit: 'lid', stock: 40000, low_at: 1000 } },
};

test('people go back to the seat they had, with the same grown-up beside', () => {
  const seat = { helper: 'bo', station: 'wash', beside: 'edda' };
  assert.deepEqual(reverseOf(VIEW, { order: 'leave', helper: 'bo' }), [
    { order: 'claim', ...seat },
  ]);
  assert.deepEqual(reverseOf(VIEW, { order: 'switch', helper: 'bo', station: 'cook' }), [
    { order: 'switch', ...seat },
  ]);
  assert.deepEqual(reverseOf(VIEW, { order: 'take-break', helper: 'bo' }), [
    { order: 'end-break', helper: 'bo' },
    { order: 'claim', ...seat },
  ]);
  assert.deepEqual(reverseOf(VIEW, { order: 'go-home', helper: 'edda' }), [
    { order: 'arrive', helper: 'edda' },
  ]);
});

test('what came out of a box by mistake goes back into it', () => {
  const before = { ...VIEW, lots: { hill: { box_holds: 20000, unopened: 50000 } } };
  const box = { lot: 'hill', product: 'pears' };
  const back = { order: 'close-box', ...box };
  assert.deepEqual(reverseOf(before, { order: 'open-box', ...box }), [{ ...back, amount: 20000 }]);
  assert.deepEqual(reverseOf(before, { order: 'open-box', ...box, amount: 5000 }), [
    { ...back, amount: 5000 },
  ]);
  before.lots.hill.unopened = 3000;
  assert.deepEqual(reverseOf(before, { order: 'open-box', ...box }), [{ ...back, amount: 3000 }]);
});

test('a count that is taken back keeps what others used since', () => {
  const now = structuredClone(VIEW);
  now.supplies.lids.stock = 49000;
  assert.deepEqual(reverseOf(VIEW, { order: 'restock', supply: 'lids', amount: 12000 }, now), [
    { order: 'recount-supply', supply: 'lids', amount: 37000 },
  ]);
  const recount = { order: 'recount', station: 'wash', product: 'pears', lot: 'hill' };
  const later = structuredClone(VIEW);
  later.stations.wash.waiting.pears.lots.hill = 5000;
  assert.deepEqual(reverseOf(VIEW, { ...recount, amount: 6000 }, later), [
    { ...recount, amount: 8000 },
  ]);
  later.stations.wash.waiting = {};
  assert.deepEqual(reverseOf(VIEW, { ...recount, amount: 12000 }, later), []);
});

test('what was added is taken away, what was changed or taken away is as it was', () => {
  assert.deepEqual(reverseOf(VIEW, { order: 'add-helper', helper: 'osk', plan: {} }), [
    { order: 'retire-helper', helper: 'osk' },
  ]);
  const plan = { name: 'Bo', sign: 'star', age: 6, here: true };
  assert.deepEqual(reverseOf(VIEW, { order: 'change-helper', helper: 'bo' }), [
    { order: 'change-helper', helper: 'bo', plan },
  ]);
  // The id of what was taken off the list stays used.
  assert.deepEqual(reverseOf(VIEW, { order: 'retire-helper', helper: 'bo' }), [
    { order: 'add-helper', helper: 'bo-b', plan },
  ]);
  assert.deepEqual(reverseOf(VIEW, { order: 'put-away', station: 'wash' }), [
    { order: 'set-up', station: 'wash' },
  ]);
  const instead = { order: 'set-up', station: 'cook', instead_of: 'wash' };
  assert.deepEqual(reverseOf(VIEW, instead), [
    { order: 'set-up', station: 'wash', instead_of: 'cook' },
  ]);
  assert.deepEqual(reverseOf(VIEW, { order: 'change-day', cut_off_at: 9000 }), [
    { order: 'change-day', cut_off_at: 5000 },
  ]);
});

test('nothing is offered for what cannot be taken back exactly', () => {
  assert.deepEqual(reverseOf(VIEW, { order: 'close-day' }), []);
  assert.deepEqual(reverseOf(VIEW, { order: 'note', text: 'x' }), []);
  assert.deepEqual(reverseOf(VIEW, { order: 'change-day', scraps_bucket_lb: 3000 }), []);
});
