// Who stands at a device: taking it, sharing it, going on at another; the bands of ages.

import test from 'node:test';
import assert from 'node:assert/strict';
import {
  ageBands,
  heeded,
  joinOrder,
  namesake,
  remembered,
  sharing,
  taken,
} from '../../web/core/device.js';
import { verdictAt } from '../../web/core/seats.js';
import { screenAt, wayIn } from '../../web/core/address.js';
import { readPush } from '../../web/core/protocol.js';

const fresh = remembered(null, [], null);

test('two who share a tablet stay on it, whoever has it in hand', () => {
  const both = taken(taken(fresh, 'wren'), 'bo');
  assert.deepEqual(both, { helper: 'bo', shared: ['wren', 'bo'], moved: null });
  assert.deepEqual(taken(both, 'wren'), { ...both, helper: 'wren' });
  const helpers = { wren: { presence: 'here' }, bo: { presence: 'here' } };
  assert.deepEqual(sharing(both, helpers), ['wren']);
  assert.deepEqual(sharing(both, { ...helpers, wren: { presence: 'gone' } }), []);
  assert.deepEqual(sharing(both, { bo: helpers.bo }), []);
});

test('a helper who is picked at another device has moved away from this one', () => {
  const here = taken(fresh, 'wren');
  assert.equal(heeded(here, {}, 'tablet', null), here);
  assert.equal(heeded(here, { wren: 'tablet' }, 'tablet', null), here);
  const gone = heeded(here, { wren: 'phone' }, 'tablet', null);
  assert.deepEqual(gone, { helper: null, shared: [], moved: 'wren' });
  assert.deepEqual(taken(gone, 'wren'), here);
});

test('what is not yet heard at the kitchen is not taken for a move', () => {
  const here = taken(fresh, 'wren');
  assert.equal(heeded(here, { wren: 'phone' }, 'tablet', 'wren'), here);
});

test('one of two who share goes elsewhere and the other is not disturbed', () => {
  const both = taken(taken(fresh, 'wren'), 'bo');
  const after = heeded(both, { wren: 'phone', bo: 'tablet' }, 'tablet', null);
  assert.deepEqual(after, { helper: 'bo', shared: ['bo'], moved: null });
});

test('what was remembered makes sense whatever was stored', () => {
  assert.deepEqual(remembered('wren', [], 'bo'), { helper: 'wren', shared: ['wren'], moved: null });
  assert.deepEqual(remembered(null, ['bo'], 'wren'), {
    helper: null,
    shared: ['bo'],
    moved: 'wren',
  });
});

test('those of this device come first and those who went home last', () => {
  const helpers = {
    ann: { name: 'Ann', presence: 'gone' },
    bea: { name: 'Bea', presence: 'here' },
    cal: { name: 'Cal', presence: 'expected' },
    dov: { name: 'Dov', presence: 'here' },
  };
  const order = joinOrder(helpers, taken(fresh, 'dov'), { bea: 'phone', dov: 'tablet' });
  assert.deepEqual(
    order.map(([id]) => id),
    ['dov', 'cal', 'bea', 'ann'],
  );
});

test('the age that stands for a band gets the same verdicts as every age in it', () => {
  const rules = {
    blade: [
      { from_age: 0, verdict: 'never' },
      { from_age: 9, verdict: 'with-adult' },
      { from_age: 13, verdict: 'allowed' },
    ],
    heat: [
      { from_age: 0, verdict: 'never' },
      { from_age: 16, verdict: 'allowed' },
    ],
  };
  const bands = ageBands(rules);
  assert.deepEqual(
    bands.map(({ from, to }) => [from, to]),
    [
      [0, 8],
      [9, 12],
      [13, 15],
      [16, 17],
      [18, undefined],
    ],
  );
  for (const { from, to, age } of bands) {
    for (let real = from; real <= (to ?? 99); real += 1) {
      for (const need of ['blade', 'heat', 'lifting']) {
        assert.equal(verdictAt(rules, need, age), verdictAt(rules, need, real), `${need} ${real}`);
      }
    }
  }
  assert.deepEqual(
    ageBands(undefined).map(({ from }) => from),
    [0, 18],
  );
  assert.equal(ageBands({ heat: [{ from_age: 0 }, { from_age: 4 }] })[0].age, 3);
});

test('a name is known again in any case and with spaces around it', () => {
  const helpers = { wren: { name: 'Wren' }, bo: { name: 'Bo' } };
  assert.equal(namesake(helpers, ' wren '), 'wren');
  assert.equal(namesake(helpers, 'Wren B'), null);
  assert.equal(namesake(undefined, 'Wren'), null);
  assert.equal(namesake({ rene: { name: 'Ren\u00e9' } }, 'Rene\u0301'), 'rene', 'as people see it');
});

test('the bare address leads into the one day that goes on', () => {
  assert.equal(screenAt('').bare, true);
  assert.equal(screenAt('#/').bare, undefined);
  const open = { phase: 'open' };
  const known = (day) => (day === 'plums' ? 'wren' : null);
  assert.equal(wayIn({ pears: open, old: { phase: 'closed' } }, false, known), '#/day/pears/join');
  assert.equal(wayIn({ plums: open }, false, known), '#/day/plums/helper');
  assert.equal(wayIn({ pears: open, plums: open }, false, known), null);
  assert.equal(wayIn({ pears: open }, true, known), null);
  assert.equal(wayIn(null, false, known), null);
});

test('a push that says who stands where is read, and nothing like it', () => {
  assert.deepEqual(readPush('{"push":"holders","holders":{"wren":"ab"}}').holders, { wren: 'ab' });
  assert.equal(readPush('{"push":"holders","holders":[]}'), null);
  assert.equal(readPush('{"push":"holders"}'), null);
});
