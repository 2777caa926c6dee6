// Whom an alarm asks, and for how long it is silent: those concerned first, then those who may go,
// then everyone; and never silent without a named person.

import test from 'node:test';
import assert from 'node:assert/strict';
import { alarmsAt, askedAt, concerned, repeatMs, ringingOf, takers } from '../../web/core/alarms.js';
import { timersOf } from '../../web/core/timers.js';
import { merged } from '../../web/core/merge.js';

const NOW = 1_800_000_000_000;
const MIN = 60000;
const KEY = `stir/cook/big/${NOW}`;
const person = (name, heat, more = {}) => ({
  name,
  presence: 'here',
  may: { cook: heat, wash: 'allowed' },
  ...more,
});
const view = {
  stations: {
    cook: {
      name: 'Cook',
      seated: { silas: { since: NOW, beside: 'edda' } },
      pots: {
        big: { name: 'big pot', phase: 'cooking', stir_at: NOW, minder: 'maren', backup: 'osk' },
      },
    },
    wash: { name: 'Wash', seated: { bo: { since: NOW } } },
  },
  helpers: {
    bo: person('Bo', 'never', { station: 'wash' }),
    edda: person('Edda', 'allowed'),
    juno: person('Juno', 'allowed'),
    maren: person('Maren', 'allowed'),
    osk: person('Osk', 'allowed'),
    silas: person('Silas', 'with-adult', { station: 'cook' }),
    wren: person('Wren', 'with-adult'),
  },
  loads: {},
};
const at = (of, now) => ringingOf(of, timersOf(of, now), now);
const helper = (id) => ({ screen: 'helper', helper: id });
const asked = (of, now) =>
  Object.keys(of.helpers)
    .map((id) => [id, askedAt(of, at(of, now)[0], helper(id))])
    .filter(([, how]) => how)
    .map(([id, how]) => `${id} ${how}`);

test('nothing rings before it is due, and the key is that of the server', () => {
  assert.deepEqual(at(view, NOW - 1), []);
  assert.deepEqual(
    at(view, NOW).map((one) => one.key),
    [KEY],
  );
});

test('at first minder, backup, who sits there and the adult beside are asked', () => {
  assert.deepEqual(concerned(view, { station: 'cook', pot: 'big' }), [
    'maren',
    'osk',
    'silas',
    'edda',
  ]);
  assert.deepEqual(asked(view, NOW), ['edda take', 'maren take', 'osk take', 'silas take']);
  assert.deepEqual(asked(view, NOW + MIN - 1), asked(view, NOW));
});

test('after a minute everybody who may go there is asked, and no child kept from it', () => {
  assert.deepEqual(asked(view, NOW + MIN), [
    'edda take',
    'juno take',
    'maren take',
    'osk take',
    'silas take',
  ]);
});

test('after two minutes everyone is, and children are told to tell', () => {
  const all = asked(view, NOW + 2 * MIN);
  assert.equal(all.length, 7);
  assert.ok(all.includes('bo tell') && all.includes('wren tell'));
  assert.equal(at(view, NOW + 60 * MIN)[0].step, 2);
});

test('the lead and the wall show it from the first moment, an unknown device at last', () => {
  const ways = (now) =>
    ['lead', 'wall', 'join'].map((screen) => askedAt(view, at(view, now)[0], { screen }));
  assert.deepEqual(ways(NOW), ['take', 'show', null]);
  assert.deepEqual(ways(NOW + 2 * MIN), ['take', 'show', 'show']);
});

test('who rests or went home is not asked, and where nobody is concerned all who may are', () => {
  const away = merged(view, {
    helpers: { maren: { presence: 'gone' }, osk: { presence: 'resting' } },
    stations: { cook: { seated: { silas: null } } },
  });
  const [alarm] = at(away, NOW);
  assert.deepEqual([alarm.asks, alarm.step], [[], 1]);
  assert.deepEqual(takers(away, alarm).sort(), ['edda', 'juno', 'silas']);
});

test('a child alone at the heat is told to tell from the first moment', () => {
  const alone = merged(view, {
    stations: { cook: { seated: { silas: null, wren: { since: NOW } } } },
    helpers: { wren: { station: 'cook', may: { cook: 'never' } } },
  });
  assert.equal(askedAt(alone, at(alone, NOW)[0], helper('wren')), 'tell');
});

const taken = (by, againAt) =>
  merged(view, { alarms: { [KEY]: { by, at: NOW, again_at: againAt } } });

test('a taken alarm is silent everywhere and shows who has it', () => {
  const now = NOW + MIN;
  const has = taken('osk', NOW + 4 * MIN);
  for (const device of [helper('osk'), helper('maren'), { screen: 'lead' }, { screen: 'wall' }]) {
    const [alarm] = alarmsAt(has, timersOf(has, now), now, device);
    assert.equal(alarm.taken.by, 'osk');
  }
  assert.deepEqual(alarmsAt(has, timersOf(has, now), now, helper('bo')), []);
});

test('a taken alarm that is not done rings again, wider at once', () => {
  const has = taken('osk', NOW + 4 * MIN);
  const first = at(has, NOW + 4 * MIN)[0];
  assert.deepEqual([first.taken, first.again, first.step], [null, true, 1]);
  assert.equal(at(has, NOW + 5 * MIN)[0].step, 2);
});

test('an alarm rings on when the one who took it has left', () => {
  const left = merged(taken('osk', NOW + 4 * MIN), { helpers: { osk: { presence: 'gone' } } });
  assert.equal(at(left, NOW + MIN)[0].taken, null);
});

test('the next stir is an alarm of its own', () => {
  const stirred = merged(taken('osk', NOW + 4 * MIN), {
    stations: { cook: { pots: { big: { stir_at: NOW + 2 * MIN } } } },
  });
  assert.equal(at(stirred, NOW + MIN).length, 0);
  assert.equal(at(stirred, NOW + 2 * MIN)[0].taken, null);
});

test('the wider, the more often it rings', () => {
  const gaps = [0, 1, 2].map(repeatMs);
  assert.deepEqual(gaps, [...gaps].sort((a, b) => b - a));
  assert.equal(new Set(gaps).size, 3);
});
