// Paper: how many boxes a sheet has, and how struck boxes become orders, sums and faults.

import test from 'node:test';
import assert from 'node:assert/strict';
import { carriersWanted, kindOf, sheetsOf } from '../../web/core/paper.js';
import { countOf, ordersOf, sumsOf, typedStations, withIds } from '../../web/core/typed.js';
import { choreStart, grouped, isAsked, standing } from '../../web/core/gather.js';

const step = (station, measure, name, holds, more = {}) => ({
  station,
  measure,
  carrier: { name, holds },
  yields: { made: 1000, from: 1000 },
  onward: [],
  ...more,
});
const hand = (name, work) => ({ name, work, nature: { is: 'hand' }, seats: 2, needs: [], waiting: {} });

/** Pears in quarts by a canner; plums cooked to a mash that becomes tubs and quarts, two to one. */
function kitchen() {
  return {
    day: { name: 'Day', date: '2026-09-12', altitude_ft: 640 },
    stations: {
      wash: hand('Wash', 'wash'),
      cut: hand('Cut', 'slice'),
      fill: hand('Fill', 'fill'),
      cook: { ...hand('Cook', 'cook'), nature: { is: 'vessel', pots: {} } },
      bag: hand('Bag', 'bag'),
      canner: {
        ...hand('Canner', 'process'),
        nature: { is: 'canner', method: 'boiling-water', canners: { a: { holds: { quart: 7 } } } },
      },
      rack: { ...hand('Rack', 'cool'), nature: { is: 'hold' } },
    },
    products: {
      pears: {
        name: 'Pears',
        produce: 'pears',
        ends_in: { as: 'canned', jar: 'quart' },
        package: 'jar',
        wanted: 21000,
        route: [
          step('wash', 'lb', 'bowl', 5000),
          step('cut', 'lb', 'bowl', 2500, { yields: { made: 1000, from: 2500 } }),
          step('fill', 'qt', 'jar', 1000),
          step('canner', 'jar', 'jar', 1000),
          step('rack', 'jar', 'jar', 1000),
        ],
      },
      mash: {
        name: 'Mash',
        produce: 'plums',
        ends_in: { as: 'shared' },
        route: [
          step('wash', 'lb', 'bowl', 4000),
          step('cook', 'lb', 'pot', 12000, {
            yields: { made: 1000, from: 2000 },
            onward: [
              { product: 'tubs', station: 'bag', weight: 2 },
              { product: 'jam', station: 'fill', weight: 1 },
            ],
          }),
        ],
      },
      tubs: {
        name: 'Tubs',
        produce: 'plums',
        ends_in: { as: 'frozen', package: 'tub' },
        package: 'tub',
        wanted: 24000,
        route: [step('bag', 'qt', 'tub', 500, { yields: { made: 1000, from: 500 } })],
      },
      jam: {
        name: 'Plum quarts',
        produce: 'plums',
        ends_in: { as: 'canned', jar: 'quart' },
        package: 'jar',
        wanted: 7000,
        route: [
          step('fill', 'qt', 'jar', 1000),
          step('canner', 'jar', 'jar', 1000),
          step('rack', 'jar', 'jar', 1000),
        ],
      },
    },
    helpers: { osk: { name: 'Osk' } },
    lots: {
      hill: { name: 'Hill', produce: 'pears', measure: 'lb', amount: 80000, box_holds: 20000, unopened: 80000 },
      hedge: { name: 'Hedge', produce: 'plums', measure: 'lb', amount: 60000, box_holds: 20000, unopened: 60000 },
    },
    chores: {},
  };
}

const orders = (view, draft) =>
  ordersOf(view, { boxes: {}, counts: {}, notes: {}, ...draft }).steps.map(({ command }) => command);

test('boxes to strike are those of the packages wanted, reckoned back', () => {
  const view = kitchen();
  // 21 quarts of pears are 52.5 lb by the published 17.5 lb for 7 quarts (USDA Complete Guide to
  // Home Canning, Guide 2): 21 bowls of 2.5 lb, 10.5 of 5 lb.
  assert.equal(carriersWanted(view, 'pears', 'cut'), 21);
  assert.equal(carriersWanted(view, 'pears', 'wash'), 11);
  assert.equal(carriersWanted(view, 'pears', 'rack'), 21);
  // 24 tubs of half a quart and 7 quarts are 19 quarts of mash, 38 lb of plums: 4 pots of 12 lb.
  assert.equal(carriersWanted(view, 'mash', 'cook'), 4);
  assert.equal(carriersWanted(view, 'mash', 'wash'), 10);
  delete view.products.tubs.wanted;
  delete view.products.jam.wanted;
  assert.equal(carriersWanted(view, 'mash', 'wash'), null);
});

test('every station has one sheet of its kind, with the ways on and enough boxes and lines', () => {
  const sheets = sheetsOf(kitchen());
  assert.deepEqual(
    sheets.map(({ id }) => id).sort(),
    ['bag', 'canner', 'cook', 'cut', 'fill', 'rack', 'wash'],
  );
  const at = Object.fromEntries(sheets.map((sheet) => [sheet.id, sheet]));
  assert.deepEqual(
    Object.entries(at).map(([id, { kind }]) => [id, kind]).sort(),
    [['bag', 'count'], ['canner', 'loads'], ['cook', 'pots'], ['cut', 'count'], ['fill', 'count'], ['rack', 'seals'], ['wash', 'count']],
  );
  const cut = at.cut.rows[0];
  assert.ok(cut.boxes >= cut.wanted && cut.boxes <= 190);
  assert.deepEqual(cut.from, ['wash']);
  assert.equal(at.cook.rows.length, 2, 'a row for each branch');
  assert.deepEqual(at.fill.rows.find(({ product }) => product === 'jam').from, ['cook']);
  // 28 quarts by sevens: four loads, and two lines more.
  assert.equal(at.canner.lines, 6);
  assert.equal(kindOf(kitchen(), 'rack'), 'seals');
});

test('counts become orders in the order of the work, and reach what was struck', () => {
  const draft = {
    boxes: { 'hill/pears': '2' },
    counts: {
      fill: { pears: [{ count: '6' }] },
      cut: { pears: [{ count: '5', helper: 'osk', from: '09:10', to: '10:00' }, { count: '3' }] },
      wash: { pears: [{ count: '4' }] },
    },
  };
  const list = orders(kitchen(), draft);
  assert.deepEqual(list, [
    { order: 'open-box', lot: 'hill', product: 'pears', amount: 40000 },
    { order: 'tally', product: 'pears', station: 'wash', amount: 20000 },
    { order: 'tally', product: 'pears', station: 'cut', amount: 12500 },
    { order: 'tally', product: 'pears', station: 'cut', amount: 7500 },
    {
      order: 'note',
      on: { about: 'station', id: 'cut' },
      text: 'Osk 09:10–10:00: 5 bowl, Pears',
    },
    { order: 'tally', product: 'pears', station: 'fill', amount: 6000 },
  ]);
  assert.deepEqual(ordersOf(kitchen(), draft).faults, []);
  assert.deepEqual(
    sumsOf(kitchen(), draft).map(({ station, count }) => [station, count]).sort(),
    [['cut', 8000], ['fill', 6000], ['wash', 4000]],
  );
});

test('more than could have come is put right openly, and said', () => {
  const { steps, faults } = ordersOf(kitchen(), {
    boxes: { 'hill/pears': '1' },
    counts: { wash: { pears: [{ count: '5' }] } },
    notes: {},
  });
  assert.deepEqual(
    steps.map(({ command }) => command),
    [
      { order: 'open-box', lot: 'hill', product: 'pears', amount: 20000 },
      { order: 'recount', product: 'pears', station: 'wash', lot: 'hill', amount: 25000 },
      { order: 'tally', product: 'pears', station: 'wash', amount: 25000 },
    ],
  );
  assert.deepEqual(faults, [
    { is: 'more', product: 'pears', station: 'wash', amount: 25000, there: 20000 },
  ]);
});

test('pots on paper are recounted, not cooked, and go down the branch that was struck', () => {
  const list = orders(kitchen(), {
    boxes: { 'hedge/mash': '2' },
    counts: {
      wash: { mash: [{ count: '8' }] },
      cook: { 'mash>tubs/bag': [{ count: '2' }] },
      bag: { tubs: [{ count: '20' }] },
    },
  });
  assert.deepEqual(list.slice(2), [
    { order: 'recount', product: 'mash', station: 'cook', lot: 'hedge', amount: 8000 },
    { order: 'recount', product: 'tubs', station: 'bag', lot: 'hedge', amount: 12000 },
    { order: 'tally', product: 'tubs', station: 'bag', amount: 10000 },
  ]);
});

test('jars whose boil the board did not see never leave the canner by typing', () => {
  const view = kitchen();
  assert.ok(!typedStations(view).some(({ id }) => id === 'rack'));
  const list = orders(view, {
    counts: { canner: { pears: [{ count: '7' }] }, rack: { pears: [{ count: '7' }] } },
    notes: { canner: 'Load 1: 7 jars, boil 10:42, off 11:07' },
  });
  assert.deepEqual(list, [
    {
      order: 'note',
      on: { about: 'station', id: 'canner' },
      text: 'Load 1: 7 jars, boil 10:42, off 11:07',
    },
  ]);
});

test('what is no number, and more boxes than there are, stop it with words', () => {
  const faults = (draft) => ordersOf(kitchen(), { boxes: {}, counts: {}, notes: {}, ...draft }).faults;
  assert.deepEqual(faults({ boxes: { 'hill/pears': '9' } }).map(({ is }) => is), ['boxes']);
  assert.deepEqual(faults({ boxes: { 'hill/pears': 'x' } }).map(({ is }) => is), ['no-count']);
  assert.deepEqual(
    faults({ counts: { wash: { pears: [{ count: '-3' }] } } }).map(({ is }) => is),
    ['no-count'],
  );
  const none = { ...kitchen(), lots: {} };
  const fault = ordersOf(none, { boxes: {}, counts: { wash: { pears: [{ count: '1' }] } }, notes: {} });
  assert.ok(fault.faults.some(({ is }) => is === 'no-lot'));
  assert.deepEqual(['', ' 12 ', '2,5', 'ten', '1e3'].map(countOf), [undefined, 12000, 2500, null, null]);
});

test('an order keeps its id while it is the same, so that sending again counts once', () => {
  let n = 0;
  const uuid = () => `id-${(n += 1)}`;
  const draft = (count) => ({ boxes: {}, counts: { wash: { pears: [{ count }] } }, notes: {} });
  const first = withIds(ordersOf(kitchen(), draft('4')).steps, null, uuid);
  const kept = first.map((one, at) => ({ ...one, done: at === 0 }));
  const again = withIds(ordersOf(kitchen(), draft('4')).steps, kept, uuid);
  assert.deepEqual(again, kept);
  const other = withIds(ordersOf(kitchen(), draft('5')).steps, kept, uuid);
  assert.ok(other.every((one) => !one.done && !first.some(({ id }) => id === one.id)));
});

test('the list to gather stands in groups, and nobody knows of what nobody looked for', () => {
  const items = [
    { id: 'lids', kind: 'lids', unit: 'lid', need: 22000 },
    { id: 'altitude', kind: 'altitude' },
    { id: 'canner-canner/a', kind: 'canner', name: 'Canner' },
  ];
  const groups = grouped(items, { lids: { have: 12000 }, altitude: { have: 1000, helper: 'osk' } });
  assert.deepEqual(groups.map(({ group }) => group), ['kitchen', 'jars', 'canner']);
  const { all, there, open, short } = standing(groups);
  assert.deepEqual([all, there, open], [3, 1, 1]);
  assert.deepEqual(short.map(({ id, missing }) => [id, missing]), [['lids', 10000]]);
  assert.match(`${choreStart(items[2])}-x7k2a`, /^[a-z0-9][a-z0-9-]{0,39}$/);
  assert.ok(isAsked({ chores: { [`${choreStart(items[0])}-x7k2a`]: {} } }, items[0]));
  assert.ok(!isAsked({ chores: {} }, items[0]));
});
