// Timers, warnings and seats as they are shown: nothing counts down before a confirmed boil, danger
// comes first, and the reason for "never" names the need that forbids it.

import test from 'node:test';
import assert from 'node:assert/strict';
import { alarmsOf, timersOf } from '../../web/core/timers.js';
import { choresOf, warningsOf } from '../../web/core/warnings.js';
import { seatOrder, whyNot } from '../../web/core/seats.js';
import { progressOf, waysOn } from '../../web/core/flow.js';
import { stationPlan } from '../../web/core/plan.js';
import { merged } from '../../web/core/merge.js';
import { screenAt } from '../../web/core/address.js';
import { rehearsalView } from '../browser/rehearsal-view.js';

const NOW = 1_800_000_000_000;
const MIN = 60000;
const view = rehearsalView(NOW);
const withLoad = (load) => merged(view, { loads: { 'load-1': load } });

test('a heating load counts up and never down', () => {
  const heating = withLoad({ phase: 'heating', done_at: null, boil_at: null });
  const [timer] = timersOf(heating, NOW).filter((one) => one.load);
  assert.equal(timer.kind, 'heating');
  assert.equal(timer.left, undefined);
  assert.equal(timer.passed, 45 * MIN);
});

test('a timing load counts down to its planned end and rings only after it', () => {
  assert.deepEqual(alarmsOf(timersOf(view, NOW)), []);
  const late = timersOf(view, NOW + 13 * MIN);
  assert.ok(alarmsOf(late).some((one) => one.kind === 'process'));
});

test('the most urgent timer comes first', () => {
  const levels = timersOf(view, NOW + 14 * MIN).map((one) => one.level);
  const rank = ['late', 'due', 'soon', 'calm'];
  assert.deepEqual(
    levels,
    [...levels].sort((a, b) => rank.indexOf(a) - rank.indexOf(b)),
  );
});

test('food that stands is shown from its first mark on, the oldest first', () => {
  const stands = (why, since, marks) => ({
    why,
    warn_at: since + marks[0] * MIN,
    urge_at: since + marks[1] * MIN,
    limit_at: since + marks[2] * MIN,
  });
  const since = view.stations.canners.waiting['pears-qt'].oldest_at;
  const later = view.stations.canners.waiting['peaches-pt'].oldest_at;
  const standing = merged(view, {
    stations: {
      canners: {
        waiting: {
          'pears-qt': { stands: stands('filled-jars', since, [10, 20, 120]) },
          'peaches-pt': { stands: stands('filled-jars', later, [10, 20, 120]) },
        },
      },
    },
  });
  const shown = (at) =>
    timersOf(standing, at)
      .filter((one) => one.kind === 'filled-jars')
      .map(({ product, level }) => [product, level]);
  assert.deepEqual(shown(since + 9 * MIN), []);
  assert.deepEqual(shown(since + 10 * MIN), [['pears-qt', 'soon']]);
  assert.deepEqual(shown(since + 16 * MIN), [
    ['pears-qt', 'soon'],
    ['peaches-pt', 'soon'],
  ]);
  assert.deepEqual(shown(since + 120 * MIN)[0], ['pears-qt', 'late']);
});

test('jars cut short are a danger on top of everything', () => {
  const short = merged(view, {
    loads: { 'load-1': { short: true, fate: 'freeze' } },
    day: { altitude_ft: null },
  });
  const [first, second] = warningsOf(short, NOW);
  assert.deepEqual(
    [first.level, first.key, second.key],
    ['danger', 'warning.short.freeze', 'warning.altitude'],
  );
});

test('a cooking pot nobody minds is a danger', () => {
  const left = merged(view, { stations: { cook: { pots: { 'big-pot': { minder: null } } } } });
  assert.ok(warningsOf(left, NOW).some((one) => one.key === 'warning.unminded'));
});

test('the reason for never names the need', () => {
  const { helpers, stations } = view;
  assert.deepEqual(whyNot(view, helpers.bo, stations.slice), { limits: [], ages: ['blade'] });
  assert.deepEqual(whyNot(view, helpers.edda, stations.canners).limits, ['lifting']);
  assert.deepEqual(whyNot(view, helpers.juno, stations.slice), { limits: [], ages: [] });
});

test('whoever sits changes seats, whoever stands claims one', () => {
  assert.deepEqual(seatOrder(view.helpers.juno, 'juno', 'fill'), {
    order: 'switch',
    helper: 'juno',
    station: 'fill',
  });
  assert.deepEqual(seatOrder(view.helpers.tove, 'tove', 'fill', 'osk'), {
    order: 'claim',
    helper: 'tove',
    station: 'fill',
    beside: 'osk',
  });
});

test('progress is summed by jar size and package', () => {
  assert.deepEqual(
    progressOf(view).map(({ kind, finished, wanted }) => [kind, finished, wanted]),
    [
      ['quart', 0, 28000],
      ['pint', 0, 27000],
      ['bag', 12000, 16000],
    ],
  );
});

test('work goes on by the branches of a step, else to the next step', () => {
  assert.deepEqual(
    waysOn(view, 'plums', 'strain').map((way) => way.station),
    ['fill', 'bag'],
  );
  assert.deepEqual(waysOn(view, 'pears-qt', 'wash'), [{ product: 'pears-qt', station: 'slice' }]);
  assert.deepEqual(waysOn(view, 'pears-qt', 'cool'), []);
});

test('chores nobody has taken come first', () => {
  assert.deepEqual(
    choresOf(view).map(([id]) => id),
    ['c1', 'c3', 'c2'],
  );
});

test('a plan holds only what the server takes', () => {
  assert.deepEqual(Object.keys(stationPlan(view.stations.wash)).sort(), [
    'name',
    'nature',
    'needs',
    'occupies',
    'seats',
    'set_up',
    'work',
  ]);
});

test('addresses lead to screens, unknown ones to the list of days', () => {
  assert.deepEqual(screenAt('#/day/pears/lead'), { screen: 'lead', day: 'pears' });
  assert.deepEqual(screenAt('#/day/pears/else'), { screen: 'join', day: 'pears' });
  assert.deepEqual(screenAt('#/lead-key/ab12'), { screen: 'lead-key', key: 'ab12', then: '#/' });
  assert.deepEqual(screenAt('#/code/K7QM-3PXR'), { screen: 'code', key: 'K7QM-3PXR', then: '' });
  for (const door of ['code', 'watch', 'lead-key'])
    assert.deepEqual(screenAt(`#/${door}/k/day/pears/wall`), {
      screen: door,
      key: 'k',
      then: '#/day/pears/wall',
    });
  for (const hash of ['', '#/', '#/day/', '#/day/../x', '#/nothing', '#/code', '#/code/'])
    assert.equal(screenAt(hash).screen, 'days', hash);
});
