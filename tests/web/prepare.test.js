// The draft of what to make, and the words of the answer.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import {
  askOf,
  freeId,
  keptDraft,
  linesOf,
  missing,
  newDraft,
  notOffered,
  put,
  servesKey,
  useOfSeason,
} from '../../web/core/prepare.js';
import { screenAt } from '../../web/core/address.js';
import { alsoSpeak, speak, t } from '../../web/words/words.js';
import * as english from '../../web/words/en.js';
import * as season from '../../web/words/season/en.js';

const named = (kind, n) => `${kind} ${n}`;

/** A draft with the invented family's ask. */
function family() {
  const file = new URL('../../fixtures/prepare/family.json', import.meta.url);
  const { start_at: start, cut_off_at: cut, ...ask } = JSON.parse(readFileSync(file, 'utf8'));
  assert.ok(start < cut);
  return { start: '09:00', cut: '16:30', ask };
}

test('a new draft asks for its first gap, and a whole one for none', () => {
  assert.deepEqual(missing(newDraft('2026-09-12'))[0], ['there_is', 'lot-1', 'produce']);
  assert.deepEqual(missing(family()), []);
  const without = put(family(), ['ask', 'uses'], {});
  assert.deepEqual(missing(without), [['uses', null, null]]);
});

test('a change leaves the rest and the draft before as they were', () => {
  const draft = family();
  const ask = put(draft.ask, ['uses', 'plum-pie', 'pinned', 'six-cup-bags'], 8000);
  assert.equal(ask.uses['plum-pie'].pinned['six-cup-bags'], 8000);
  assert.equal(draft.ask.uses['plum-pie'].pinned, undefined);
  assert.equal(ask.uses['plum-cake'], draft.ask.uses['plum-cake']);
  const free = put(ask, ['uses', 'plum-pie', 'pinned', 'six-cup-bags'], undefined);
  assert.deepEqual(free.uses['plum-pie'].pinned, {});
});

test('a kept draft comes back as it was; what cannot be read gives an empty one', () => {
  const draft = family();
  assert.deepEqual(keptDraft(JSON.stringify(draft), '2026-01-01'), draft);
  for (const broken of [null, '', '{', '{"ask":{}}', '7'])
    assert.equal(keptDraft(broken, '2026-09-12').ask.date, '2026-09-12');
});

test('what is asked has moments and names, which the draft may lack', () => {
  const draft = newDraft('2026-09-12');
  const ask = askOf(draft, named);
  assert.equal(ask.kitchen.canners['canner-1'].name, 'canner 1');
  assert.equal(ask.name, 'day 1');
  assert.equal(ask.cut_off_at - ask.start_at, 9 * 3600 * 1000);
  const open = askOf({ ...draft, cut: '' }, named);
  assert.ok(!('cut_off_at' in open));
});

test('people are asked under an id of their name, so that other days know them', () => {
  const draft = newDraft('2026-09-12');
  const person = (name) => ({ name, age: 30 });
  const helpers = { 'helper-1': person(' Maren '), 'helper-2': person('Maren'), x: person('Zoë B') };
  const asked = askOf({ ...draft, ask: { ...draft.ask, helpers } }, named).helpers;
  assert.deepEqual(Object.keys(asked), ['maren', 'maren-2', 'zoe-b']);
  assert.equal(asked.maren.name, 'Maren');
});

test('ids are free', () => {
  assert.equal(freeId({ 'lot-1': 1, 'lot-2': 1 }, 'lot'), 'lot-3');
  assert.equal(freeId(undefined, 'use'), 'use-1');
});

test('lines with nothing to make stand apart, but not what was settled', () => {
  const line = (use, packages, pinned = false) => ({ use, packages, pinned });
  const proposal = { lines: [line('a', 3), line('a', 0), line('a', 0, true), line('b', 1)] };
  const { now, others } = linesOf(proposal, 'a');
  assert.deepEqual([now.length, others.length], [2, 1]);
});

test('a reason is said once for all its packages', () => {
  const not = (pack) => ({ use: 'a', code: 'no-canner', field: 'kitchen.canners', package: pack });
  const told = notOffered({ not_offered: [not('pints'), not('quarts')] });
  assert.deepEqual(told.map((one) => one.packages), [['pints', 'quarts']]);
});

test('every way to serve, every limit and every reason has words with their numbers', () => {
  speak(english, [season]);
  const line = { serves: 1, n: 1, portion: '1 qt', opened: 2, each: 3 };
  const keys = [{ opened: 1, serves_each: 1 }, { opened: 2, serves_each: 1 }, { opened: 1, serves_each: 3 }].map(servesKey);
  assert.equal(new Set(keys).size, 3);
  for (const key of keys) assert.match(t(key, line), /1 qt/);
  assert.equal(t(keys[0], line), '1 time 1 qt, one each time');
  const codes = readFileSync(new URL('../../src/trade/no_tested_process.rs', import.meta.url), 'utf8')
    .match(/=> "[a-z-]+"/g)
    .map((found) => found.slice(4, -1));
  const own = readFileSync(new URL('../../src/prepare/options.rs', import.meta.url), 'utf8')
    .match(/"no-[a-z-]+"/g)
    .map((found) => found.slice(1, -1));
  for (const code of [...codes, ...own]) assert.ok(`prepare.not.${code}` in season.default, code);
  const limits = ['produce', 'packages', 'lids', 'freezes-in-a-day', 'freezer-room', 'canner-time'];
  for (const limit of limits) assert.ok(`prepare.held.${limit}` in season.default, limit);
  const whys = ['eaten', 'ran-out', 'left', 'half-left', 'no-smaller', 'not-liked', 'too-runny', 'few-seen'];
  for (const why of whys) assert.ok(`prepare.year.${why}` in season.default, why);
  alsoSpeak({ default: {} });
});

test('every produce and every food of the sheets has its name', () => {
  const column = (file, n) =>
    readFileSync(new URL(`../../src/trade/facts/${file}`, import.meta.url), 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((row) => row.split(',')[n]);
  for (const name of [...column('produce.csv', 0), ...column('products.csv', 0)])
    assert.ok(`prepare.food.${name}` in season.default, name);
});

test('what a season taught becomes a dish whose produce is still to be said', () => {
  const told = { name: 'Pears, pint jars', package: { measure: 'jar', jar: 'pint' }, for_season: 26 };
  const use = useOfSeason(told, 52000);
  assert.deepEqual([use.amount, use.unit, use.times, use.weeks], [500, 'quart', 500, 52000]);
  assert.equal(use.keep, 'shelf');
  assert.equal(use.produce, '');
});

test('it has an address', () => {
  assert.deepEqual(screenAt('#/prepare'), { screen: 'prepare' });
});
