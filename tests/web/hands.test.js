// A helper's own screen in plain data: what taps change before the board answers, what is read
// aloud, where soft fruit goes, what is asked for, and the way back from a break.

import test from 'node:test';
import assert from 'node:assert/strict';
import { helperSays } from '../../web/core/helper-says.js';
import { needsAt } from '../../web/core/needs.js';
import { ownTimers } from '../../web/core/own-timers.js';
import { backOrder, breakLeft, breakOf } from '../../web/core/pause.js';
import { softAmounts, softWays } from '../../web/core/soft.js';
import { doneNow, tapsAt, waitingNow } from '../../web/core/taps.js';

const step = (station, measure, name, holds, more) => ({
  station,
  measure,
  carrier: { name, holds },
  ...more,
});
const VIEW = {
  stations: {
    wash: {
      name: 'Wash',
      set_up: true,
      free: 2,
      nature: { is: 'hand' },
      seated: { bo: { beside: 'edda' } },
      done: { pears: { taken: 9000 } },
      undo: { product: 'pears', amount: 3000, helper: 'bo', at: 1 },
      waiting: {
        pears: {
          amount: 7000,
          carriers: 2333,
          measure: 'lb',
          carrier: { name: 'colander', holds: 3000 },
        },
      },
    },
    pare: { name: 'Pare', set_up: true, free: 0, nature: { is: 'hand' } },
    cook: {
      name: 'Cook',
      set_up: true,
      free: 1,
      nature: { is: 'vessel' },
      pots: { one: { name: 'Pot', minder: 'edda' }, two: { name: 'Other', backup: 'bo' } },
    },
  },
  products: {
    pears: {
      name: 'Pear quarts',
      produce: 'pears',
      route: [
        step('wash', 'lb', 'colander', 3000, { draws: { lids: 1000, soap: 10 } }),
        step('pare', 'lb', 'bowl', 1250),
      ],
    },
    puree: {
      name: 'Purée',
      produce: 'plums',
      also_of: ['pears'],
      route: [step('cook', 'lb', 'pot', 10000)],
    },
    quarts: {
      name: 'Purée in jars',
      produce: 'pears',
      route: [step('cook', 'qt', 'pot', 4000)],
    },
    plums: { name: 'Plums', produce: 'plums', route: [step('wash', 'lb', 'colander', 3000)] },
  },
  helpers: {
    bo: {
      name: 'Bo',
      age: 6,
      presence: 'here',
      station: 'wash',
      may: { wash: 'with-adult', cook: 'never' },
    },
    edda: { name: 'Edda', age: 70, adult: true, presence: 'here' },
  },
  supplies: {
    soap: { name: 'soap', low: false },
    lids: { name: 'new lids', low: true },
  },
};
const tally = (id, more) => ({
  id,
  state: 'waiting',
  command: { order: 'tally', station: 'wash', product: 'pears', ...more },
});
const undo = (id) => ({ id, state: 'waiting', command: { order: 'undo-tally', station: 'wash' } });
const left = (entries) =>
  waitingNow(VIEW, entries, 'wash', { product: 'pears', ...VIEW.stations.wash.waiting.pears });

test('taps on their way are counted and taken from the pile, never below nothing', () => {
  const two = [tally('a'), tally('b')];
  assert.equal(left(two).amount, 1000);
  assert.equal(left(two).carriers, 333);
  assert.equal(doneNow(VIEW, two, 'wash', 'pears'), 5000);
  assert.equal(left([...two, tally('c')]).amount, 0);
  assert.equal(left([tally('a', { amount: 500 })]).amount, 6500);
  assert.equal(left([tally('a', { product: 'plums' })]).amount, 7000);
});

test('a tap taken back changes nothing, whichever way it is taken back', () => {
  assert.equal(left([tally('a'), undo('b')]).amount, 7000);
  const after = { ...tally('a'), then: { order: 'undo-tally', station: 'wash' } };
  assert.equal(left([after]).amount, 7000);
  assert.equal(tapsAt(VIEW, [tally('a'), after], 'wash').last.id, 'a');
});

test('taking back what the board has counted gives it to the pile at once, and only once', () => {
  assert.equal(left([undo('a')]).amount, 10000);
  assert.equal(doneNow(VIEW, [undo('a')], 'wash', 'pears'), 2000);
  assert.equal(left([undo('a'), undo('b')]).amount, 10000);
  assert.equal(left([undo('a'), tally('b')]).amount, 7000);
});

test('soft fruit can go where its produce is taken as it is counted, then off the routes', () => {
  const ways = softWays(VIEW, 'pears', 'wash');
  assert.deepEqual(ways[0], { as: 'route', product: 'puree', station: 'cook' });
  assert.deepEqual(
    ways.slice(1).map(({ as }) => as),
    ['fresh', 'refrigerator', 'freezer', 'scraps'],
  );
});

test('amounts to choose are never more than waits and never part of a jar', () => {
  const bowl = { carrier: { holds: 1250 }, measure: 'lb' };
  assert.deepEqual(softAmounts({ ...bowl, amount: 9000 }), [625, 1250]);
  assert.deepEqual(softAmounts({ ...bowl, amount: 400 }), [400]);
  assert.deepEqual(softAmounts({ carrier: { holds: 1000 }, measure: 'jar', amount: 3000 }), [1000]);
});

test("a station's own supplies come first, the low before the rest, none under two names", () => {
  const list = needsAt(VIEW, 'wash');
  assert.deepEqual(
    list.slice(0, 2).map(({ name, picture, low }) => ({ name, picture, low })),
    [
      { name: 'new lids', picture: 'lids', low: true },
      { name: 'soap', picture: 'box', low: false },
    ],
  );
  assert.deepEqual(
    list.slice(2).map(({ usual }) => usual),
    ['jars', 'bowls', 'box', 'spill', 'adult'],
  );
  assert.equal(needsAt(VIEW, undefined).length, 6);
});

test('a break knows its end and the way back, with the same grown-up beside', () => {
  const kept = breakOf(VIEW, 'bo', 5, 1000);
  assert.deepEqual(kept, { from: 1000, until: 301000, station: 'wash', beside: 'edda' });
  assert.equal(breakLeft(kept, 300000), 1000);
  assert.equal(breakLeft(null, 1), null);
  assert.equal(breakLeft(kept, null), null);
  assert.deepEqual(backOrder(VIEW, 'bo', kept), {
    order: 'claim',
    helper: 'bo',
    station: 'wash',
    beside: 'edda',
  });
});

test('a seat is not offered again when it is full, forbidden, or nobody can stay beside', () => {
  const kept = { until: 1, station: 'wash', beside: 'edda' };
  const gone = { ...VIEW.helpers, edda: { ...VIEW.helpers.edda, presence: 'gone' } };
  assert.equal(backOrder({ ...VIEW, helpers: gone }, 'bo', kept), null);
  assert.equal(backOrder(VIEW, 'bo', { ...kept, station: 'pare' }), null);
  assert.equal(backOrder(VIEW, 'bo', { ...kept, station: 'cook' }), null);
  assert.equal(backOrder(VIEW, 'bo', null), null);
});

test("a helper's timers are those at the seat and of pots they mind or step in for", () => {
  const timers = [
    { key: 1, station: 'wash' },
    { key: 2, station: 'cook', pot: 'one' },
    { key: 3, station: 'cook', pot: 'two' },
  ];
  const keys = ({ here, mine }) => [here, mine].map((list) => list.map(({ key }) => key));
  assert.deepEqual(keys(ownTimers(VIEW, timers, 'bo')), [[1], [3]]);
  assert.deepEqual(keys(ownTimers(VIEW, timers, 'edda')), [[], [2]]);
});

const says = (change, more) =>
  helperSays({
    view: { ...VIEW, helpers: { ...VIEW.helpers, bo: { ...VIEW.helpers.bo, ...change } } },
    ahead: null,
    helperId: 'bo',
    ...more,
  });

test('what is read aloud is whole sentences for every state of a helper', () => {
  const move = { id: 'm', steps: [{ helper: 'bo', to: 'pare', beside: 'edda' }] };
  const states = [
    says({}),
    says({ station: undefined }),
    says({ presence: 'resting' }),
    says({ presence: 'resting' }, { over: true }),
    says({ presence: 'expected' }),
    says({ station: 'cook' }),
    says({ station: 'pare' }),
    says({}, { moves: [move] }),
  ];
  for (const { says: sentences } of states)
    for (const one of sentences) {
      assert.match(one, /[.?!]$/);
      assert.doesNotMatch(one, /undefined|\{|\}|\bsay\./);
    }
  assert.equal(new Set(states.map(({ asks }) => asks)).size, states.length);
  assert.match(states[0].says.join(' '), /You are at Wash\. .*colander.* 2¼\scolanders waiting\./);
  assert.match(states[7].says.join(' '), /Pare needs you\..* Edda stays beside you\./);
});

test('nothing new is asked while only the pile gets smaller', () => {
  const waiting = { product: 'pears', carriers: 1000, carrier: { name: 'colander' } };
  assert.equal(says({}).asks, says({}, { one: waiting }).asks);
});
