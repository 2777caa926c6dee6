// From the filled jar to the shelf: what the screens offer, say and ask. The server decides; here
// it is only made sure that nobody is shown less than the process asks.

import test from 'node:test';
import assert from 'node:assert/strict';
import { cautionsFor } from '../../web/core/cautions.js';
import { foodNamed, foodsInOrder, isTabled, testedPath } from '../../web/core/foods.js';
import { faultsOf, longestOf, suggestedJars } from '../../web/core/load-choice.js';
import { merged } from '../../web/core/merge.js';
import { orderWords } from '../../web/core/orders.js';
import {
  filledHere,
  heatOf,
  heatOfLoad,
  inches,
  isBehindCanner,
  unconfirmedAt,
  packsToFreeze,
} from '../../web/core/process.js';
import { loadNumber, loadsWithLabels, sealChecks, whyNotAgain } from '../../web/core/seals.js';
import { levelAt } from '../../web/core/stands.js';
import { alarmsOf, timersOf } from '../../web/core/timers.js';
import { warningsOf } from '../../web/core/warnings.js';
import { screenAt } from '../../web/core/address.js';
import { known, t } from '../../web/words/words.js';
import { rehearsalView } from '../browser/rehearsal-view.js';

const NOW = 1_800_000_000_000;
const MIN = 60000;
const HOUR = 60 * MIN;
const view = rehearsalView(NOW);
const holds = { quart: 7, pint: 9 };
const withLoad = (load) => merged(view, { loads: { 'load-1': load } });
const canners = (patch) => merged(view, { stations: { canners: patch } });

test('headspace is said as a fraction of an inch', () => {
  assert.deepEqual([16, 32, 64, 80, 48, 8].map(inches), ['1/4', '1/2', '1', '1 1/4', '3/4', '1/8']);
});

test('what is filled at a station is what goes to a canner next', () => {
  assert.deepEqual(filledHere(view, 'pears-qt', 'fill'), ['pears-qt']);
  assert.deepEqual(filledHere(view, 'pears-qt', 'wash'), []);
});

test('behind the canner the seal check comes next', () => {
  assert.equal(isBehindCanner(view, 'pears-qt', 'cool'), true);
  assert.equal(isBehindCanner(view, 'pears-qt', 'canners'), false);
  assert.equal(isBehindCanner(view, 'plum-bags', 'freezer'), false);
});

test('food past its limit is never shown milder', () => {
  const stands = { warn_at: 10, urge_at: 20, limit_at: 120 };
  assert.deepEqual(
    [9, 10, 19, 20, 119, 120, 500].map((at) => levelAt(stands, at)),
    ['fresh', 'soon', 'soon', 'due', 'due', 'late', 'late'],
  );
});

test('a load begins with the oldest product alone, as many as fit', () => {
  const station = merged(view.stations.canners, {
    waiting: { 'peaches-pt': { amount: 20500 }, 'pears-qt': { amount: 9000 } },
  });
  assert.deepEqual(suggestedJars(view, station, holds), { 'pears-qt': 7, 'peaches-pt': 0 });
});

test('jars that stood too long or have no process are not suggested', () => {
  const stood = canners({
    waiting: {
      'pears-qt': { stands: { why: 'filled-jars', warn_at: 1, urge_at: 2, limit_at: NOW - 1 } },
    },
  });
  assert.deepEqual(suggestedJars(stood, stood.stations.canners, holds, NOW), {
    'pears-qt': 0,
    'peaches-pt': 8,
  });
  const refused = merged(view, { products: { 'pears-qt': { process: { refused: {} } } } });
  assert.equal(suggestedJars(refused, refused.stations.canners, holds, NOW)['pears-qt'], 0);
});

test('what stands against a choice is named', () => {
  const faults = (picked, patch = {}) => {
    const changed = merged(view, patch);
    return faultsOf(changed, changed.stations.canners, holds, picked, NOW);
  };
  const both = [
    { product: 'pears-qt', jars: 3 },
    { product: 'peaches-pt', jars: 5 },
  ];
  assert.deepEqual(faults([{ product: 'pears-qt', jars: 7 }]), []);
  assert.deepEqual(faults([{ product: 'pears-qt', jars: 8 }]), ['over']);
  assert.deepEqual(faults(both), ['mixed']);
  assert.deepEqual(faults(both, { products: { 'pears-qt': { ends_in: { pack: 'raw' } } } }), [
    'packs',
    'mixed',
  ]);
  const pressed = (id, psi) => ({ [id]: { process: { tested: { minutes: 8, psi } } } });
  assert.deepEqual(
    faults(both, { products: { ...pressed('pears-qt', 6), ...pressed('peaches-pt', 11) } }),
    ['pressures', 'mixed'],
  );
});

test('the longest time of a mixed load is the one that is shown', () => {
  const timed = merged(view, {
    products: {
      'pears-qt': { process: { tested: { minutes: 25 } } },
      'peaches-pt': { process: { tested: { minutes: 30 } } },
    },
  });
  const picked = [{ product: 'pears-qt' }, { product: 'peaches-pt' }];
  assert.equal(longestOf(timed, picked).product, 'peaches-pt');
  assert.equal(longestOf(view, picked), null);
});

test('acid and sterilised jars are asked about only where something is unsaid', () => {
  assert.deepEqual(unconfirmedAt(view, 'canners'), []);
  const unsaid = merged(view, { products: { 'pears-qt': { unconfirmed: { acid: 3000 } } } });
  assert.deepEqual(unconfirmedAt(unsaid, 'canners'), [{ product: 'pears-qt', acid: 3000 }]);
});

test('a pressure load is never told to take the lid off', () => {
  assert.deepEqual(['boiling-water', 'steam', 'pressure-dial', 'pressure-weighted'].map(heatOf), [
    'boil',
    'steam',
    'pressure',
    'pressure',
  ]);
  const load = { station: 'canners', process: { tested: { psi: 11, minutes: 8 } } };
  assert.equal(heatOfLoad(view, load), 'pressure');
  for (const key of ['load.heat-off.pressure', 'caution.heat-off.pressure'])
    assert.doesNotMatch(t(key), /lid off/, key);
});

test('every phase and every kind of heat has words', () => {
  const perHeat = [
    'caution.before-heat',
    'caution.start',
    'caution.keep',
    'caution.heat-off',
  ].concat(
    ['caution.lift', 'load.start', 'load.heating-usual', 'load.lost', 'load.heat-off', 'load.rest'],
    ['load.lost-times'],
    ['loading', 'heating', 'timing', 'resting'].map((phase) => `load.phase.${phase}`),
  );
  for (const heat of ['boil', 'steam', 'pressure'])
    for (const key of perHeat) assert.ok(known(`${key}.${heat}`), `${key}.${heat}`);
  for (const why of ['filled-jars', 'cut-fruit', 'cooked-pulp']) {
    assert.ok(known(`timer.${why}`), why);
    for (const level of ['fresh', 'soon', 'due', 'late'])
      assert.ok(known(`stands.${why}.${level}`), `${why} ${level}`);
  }
  assert.ok(known('load.phase.zero.pressure') && known('load.phase.venting.pressure'));
  for (const kind of ['venting', 'pressure-falls', 'rest-pressure'])
    assert.ok(known(`timer.${kind}`), kind);
});

test('venting counts down and rings when it is over', () => {
  const venting = withLoad({ phase: 'venting', vented_at: NOW, vent_until: NOW + 10 * MIN });
  const [timer] = timersOf(venting, NOW).filter((one) => one.load);
  assert.deepEqual([timer.kind, timer.left], ['venting', 10 * MIN]);
  const rings = alarmsOf(timersOf(venting, NOW + 11 * MIN)).map((one) => one.kind);
  assert.ok(rings.includes('venting'));
});

test('pressure that falls counts up; only the wait after zero counts down', () => {
  const off = { phase: 'resting', heat_off_at: NOW, done_at: null, boil_at: null };
  const [falls] = timersOf(withLoad(off), NOW + 5 * MIN).filter((one) => one.load);
  assert.deepEqual([falls.kind, falls.left, falls.passed], ['pressure-falls', undefined, 5 * MIN]);
  const zero = { ...off, zero_at: NOW, rest_until: NOW + 10 * MIN };
  const [rests] = timersOf(withLoad(zero), NOW).filter((one) => one.load);
  assert.deepEqual([rests.kind, rests.left], ['rest-pressure', 10 * MIN]);
});

const cooling = {
  phase: 'lifted',
  lifted_at: NOW,
  seals_from: NOW + 12 * HOUR,
  seals_by: NOW + 24 * HOUR,
  unchecked: { 'pears-qt': { hill: 7000 } },
};

test('a seal check is due from 12 to 24 hours after lifting, and late after that', () => {
  const lifted = withLoad(cooling);
  const state = (at) => sealChecks(lifted, at).map((one) => [one.state, one.jars, one.number]);
  assert.deepEqual(state(NOW + 12 * HOUR - 1), [['cooling', 7, 1]]);
  assert.deepEqual(state(NOW + 12 * HOUR), [['due', 7, 1]]);
  assert.deepEqual(state(NOW + 24 * HOUR), [['late', 7, 1]]);
  const warned = (at) => warningsOf(lifted, at).map((one) => one.key);
  assert.ok(!warned(NOW).some((key) => key.startsWith('warning.seals')));
  assert.ok(warned(NOW + 13 * HOUR).includes('warning.seals.due'));
});

test('jars cut short are never on the list for the shelf, but on the labels', () => {
  const short = withLoad({ ...cooling, short: true, fate: 'freeze' });
  assert.deepEqual(sealChecks(short, NOW + 13 * HOUR), []);
  assert.ok(loadsWithLabels(short)[0].load.short);
});

test('a failed jar is processed again only hot, open and in time', () => {
  const [due] = sealChecks(withLoad(cooling), NOW + 13 * HOUR);
  const [late] = sealChecks(withLoad(cooling), NOW + 25 * HOUR);
  assert.equal(whyNotAgain(view, 'pears-qt', due), null);
  assert.equal(whyNotAgain(view, 'pears-qt', late), 'late');
  const raw = merged(view, { products: { 'pears-qt': { ends_in: { pack: 'raw' } } } });
  assert.equal(whyNotAgain(raw, 'pears-qt', due), 'raw');
  const closed = merged(view, { day: { phase: 'closed' } });
  assert.equal(whyNotAgain(closed, 'pears-qt', due), 'closed');
});

test('the number of a load stays when others are lifted later', () => {
  const more = merged(withLoad(cooling), {
    loads: { 'load-0': { ...view.loads['load-1'], ...cooling, lifted_at: NOW + MIN } },
  });
  assert.deepEqual(
    ['load-1', 'load-0'].map((id) => loadNumber(more, id)),
    [1, 2],
  );
});

test('labels say what was found of each lot', () => {
  const checked = [
    { at: NOW, product: 'pears-qt', lot: 'hill', sealed: 5, refrigerated: 1 },
    { at: NOW, product: 'pears-qt', lot: 'hill', sealed: 1 },
  ];
  const [{ labels }] = loadsWithLabels(withLoad({ ...cooling, unchecked: {}, checked }));
  assert.deepEqual([labels[0].found.sealed, labels[0].found.refrigerated], [6, 1]);
});

test('every danger of a station has a card', () => {
  for (const id of Object.keys(view.stations))
    for (const one of cautionsFor(view, id))
      assert.ok(known(`card.${one}`) && known(`card.${one}-how`), `${id} ${one}`);
  assert.deepEqual(cautionsFor(view, 'slice'), ['blade']);
  assert.deepEqual(cautionsFor(view, 'canners'), ['hot', 'steam', 'lift', 'poison']);
  assert.ok(cautionsFor(view, 'fill').includes('poison'));
});

test('a station that should hold is a warning with its time', () => {
  const held = merged(view, { stations: { fill: { hold: { until: NOW + 5 * MIN } } } });
  assert.ok(warningsOf(held, NOW).some((one) => one.key === 'warning.hold-until'));
  const passed = warningsOf(held, NOW + 6 * MIN).map((one) => one.key);
  assert.ok(passed.includes('warning.hold') && !passed.includes('warning.hold-until'));
});

const foods = [
  {
    name: 'plums',
    produce: ['plums'],
    tabled: [{ method: 'boiling-water', pack: 'raw', jar: 'pint' }],
  },
  {
    name: 'pears halved',
    produce: ['pears'],
    tabled: [{ method: 'steam', pack: 'hot', jar: 'pint' }],
  },
  { name: 'berries', produce: [], tabled: [{ method: 'boiling-water', pack: 'hot', jar: 'pint' }] },
];

test('only foods tabled for the method are offered, those of the produce first', () => {
  const names = foodsInOrder(foods, 'Plums', 'boiling-water').map((food) => food.name);
  assert.deepEqual(names, ['plums', 'berries']);
  assert.equal(foodNamed(foods, ' Berries').name, 'berries');
  assert.equal(isTabled(foods[0], 'boiling-water', { pack: 'hot', jar: 'pint' }), false);
  assert.equal(
    testedPath({ food: 'plums', pack: 'raw', jar: 'pint' }, 'steam', -20),
    '/api/tested?product=plums&pack=raw&jar=pint&method=steam&altitude_ft=-20',
  );
});

test('the orders of jars say what they do', () => {
  const order = (more) => orderWords(view, { product: 'pears-qt', station: 'canners', ...more });
  assert.match(order({ order: 'confirm-jars', acid: true }), /Acid/);
  assert.match(order({ order: 'confirm-jars', sterile: true }), /sterilised/);
  assert.match(order({ order: 'build-load', mixed: true }), /longest time/);
  assert.deepEqual(screenAt('#/day/pears/seals'), { screen: 'seals', day: 'pears' });
});

test('the room for the ice is told where freezer packages are filled, and only there', () => {
  const view = {
    products: {
      tubs: {
        freezing: { dry: 32 },
        package: 'tub',
        route: [
          { station: 'roast', measure: 'qt' },
          { station: 'bag', measure: 'qt' },
          { station: 'freezer', measure: 'tub' },
        ],
      },
      jars: { package: 'jar', route: [{ station: 'bag', measure: 'qt' }] },
    },
  };
  assert.equal(packsToFreeze(view, 'tubs', 'bag'), true);
  assert.equal(packsToFreeze(view, 'tubs', 'roast'), false);
  assert.equal(packsToFreeze(view, 'tubs', 'freezer'), false);
  assert.equal(packsToFreeze(view, 'jars', 'bag'), false);
});
