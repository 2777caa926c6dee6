// The store's promise: a view plus patches equals the server's view, and a gap is never papered
// over.

import test from 'node:test';
import assert from 'node:assert/strict';
import { merged } from '../../web/core/merge.js';
import { EMPTY, applied } from '../../web/core/store.js';

const clock = { now: 1000, speed: 1 };
const view = (seq, value) => ({ push: 'view', seq, clock, view: value });
const patch = (from, seq, value, commands = []) => ({
  push: 'patch',
  from,
  seq,
  clock,
  patch: value,
  commands,
});

// A small generator with a fixed algorithm, so that a failure repeats.
function chances(seed) {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return state / 4294967296;
  };
}

function grown(chance, depth = 0) {
  const kind = Math.floor(chance() * (depth > 2 ? 3 : 5));
  if (kind === 0) return Math.floor(chance() * 9);
  if (kind === 1) return `w${Math.floor(chance() * 9)}`;
  if (kind === 2) return [Math.floor(chance() * 3)];
  const entries = Array.from({ length: Math.floor(chance() * 4) }, () => [
    `k${Math.floor(chance() * 5)}`,
    grown(chance, depth + 1),
  ]);
  return Object.fromEntries(entries);
}

/** The merge patch that turns one object into another, written here a second time on purpose. */
function difference(before, after) {
  const out = {};
  for (const key of Object.keys(before)) if (!(key in after)) out[key] = null;
  for (const [key, value] of Object.entries(after)) {
    const old = before[key];
    const both = [old, value].every((one) => one && typeof one === 'object' && !Array.isArray(one));
    if (JSON.stringify(old) === JSON.stringify(value)) continue;
    out[key] = both ? difference(old, value) : value;
  }
  return out;
}

const sorted = (value) => {
  if (!value || typeof value !== 'object' || Array.isArray(value)) return value;
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([k, v]) => [k, sorted(v)]),
  );
};

test('the published examples of merge patches hold', () => {
  // RFC 7396, appendix A.
  const cases = [
    [{ a: 'b' }, { a: 'c' }, { a: 'c' }],
    [{ a: 'b' }, { b: 'c' }, { a: 'b', b: 'c' }],
    [{ a: 'b' }, { a: null }, {}],
    [{ a: 'b', b: 'c' }, { a: null }, { b: 'c' }],
    [{ a: ['b'] }, { a: 'c' }, { a: 'c' }],
    [{ a: 'c' }, { a: ['b'] }, { a: ['b'] }],
    [{ a: { b: 'c' } }, { a: { b: 'd', c: null } }, { a: { b: 'd' } }],
    [{ a: [{ b: 'c' }] }, { a: [1] }, { a: [1] }],
    [
      ['a', 'b'],
      ['c', 'd'],
      ['c', 'd'],
    ],
    [{ a: 'b' }, ['c'], ['c']],
    [{ a: 'foo' }, null, null],
    [{ a: 'foo' }, 'bar', 'bar'],
    [{ e: null }, { a: 1 }, { e: null, a: 1 }],
    [[1, 2], { a: 'b', c: null }, { a: 'b' }],
    [{}, { a: { bb: { ccc: null } } }, { a: { bb: {} } }],
  ];
  for (const [target, change, expected] of cases)
    assert.deepEqual(merged(target, change), expected);
});

test('a view plus patches equals the later view, for many random days', () => {
  for (let seed = 1; seed <= 300; seed += 1) {
    const chance = chances(seed);
    let server = { root: grown(chance), stations: grown(chance) };
    let { store } = applied(EMPTY, view(0, server), 0);
    for (let seq = 1; seq <= 8; seq += 1) {
      const next = { ...server, root: grown(chance) };
      ({ store } = applied(store, patch(seq - 1, seq, difference(server, next)), 0));
      server = next;
    }
    assert.deepEqual(sorted(store.view), sorted(server), `seed ${seed}`);
    assert.equal(store.seq, 8);
  }
});

test('a patch leaves the view it was made for untouched', () => {
  const before = { stations: { wash: { waiting: { pears: 1 } }, slice: {} } };
  const frozen = JSON.stringify(before);
  const { store } = applied(
    applied(EMPTY, view(1, before), 0).store,
    patch(1, 2, { stations: { wash: { waiting: { pears: null } } } }),
    0,
  );
  assert.equal(JSON.stringify(before), frozen);
  assert.equal(store.view.stations.slice, before.stations.slice);
});

test('a gap asks for a fresh view and changes nothing', () => {
  const { store } = applied(EMPTY, view(4, { a: 1 }), 0);
  const result = applied(store, patch(5, 6, { a: 2 }), 0);
  assert.equal(result.gap, true);
  assert.deepEqual(result.store.view, { a: 1 });
  assert.equal(result.store.seq, 4);
});

test('a patch before any view is a gap', () => {
  assert.equal(applied(EMPTY, patch(0, 1, {}), 0).gap, true);
});

test('an old patch is passed over, and an old fetched view does not turn time back', () => {
  const { store } = applied(EMPTY, view(9, { a: 9 }), 0);
  assert.deepEqual(applied(store, patch(7, 8, { a: 8 }), 0).store.view, { a: 9 });
  assert.deepEqual(applied(store, view(8, { a: 8 }), 0).store.view, { a: 9 });
});

test('on joining, an older view is believed: the server was put back to a copy', () => {
  const { store } = applied(EMPTY, view(9, { a: 9 }), 0);
  assert.deepEqual(applied(store, { ...view(3, { a: 3 }), joined: true }, 0).store.view, { a: 3 });
});

test('a view of another journal is believed, however old, and said to be of another', () => {
  const of = (journal, push) => ({ ...push, journal });
  const first = applied(EMPTY, of('aaaa0001', view(9, { a: 9 })), 0);
  assert.ok(!first.another, 'the first is no other');
  const same = applied(first.store, of('aaaa0001', view(10, { a: 10 })), 0);
  assert.ok(!same.another);
  for (const seq of [3, 30]) {
    const result = applied(same.store, of('bbbb0002', view(seq, { a: seq })), 0);
    assert.equal(result.another, true, `${seq}`);
    assert.deepEqual([result.store.seq, result.store.view], [seq, { a: seq }]);
    const next = applied(result.store, patch(seq, seq + 1, { b: 1 }), 0);
    assert.ok(!next.another);
    assert.deepEqual(next.store.view, { a: seq, b: 1 });
  }
});

test('an outlook is kept beside the view, and neither loses the other', () => {
  const seen = { at: 900, runs: 400 };
  const push = { push: 'outlook', clock: { now: 5000, speed: 1 }, outlook: seen };
  let { store } = applied(EMPTY, push, 10);
  assert.equal(store.view, null, 'an outlook alone is no view');
  assert.equal(store.outlook, seen);
  assert.deepEqual(store.heard, { now: 5000, speed: 1, at: 10 });
  ({ store } = applied(store, view(3, { a: 1 }), 11));
  assert.deepEqual([store.outlook, store.seq], [seen, 3]);
  ({ store } = applied(store, patch(3, 4, { a: 2 }), 12));
  assert.deepEqual([store.outlook, store.view], [seen, { a: 2 }]);
  const next = { at: 950, runs: 400 };
  const result = applied(store, { ...push, outlook: next }, 13);
  assert.deepEqual([result.gap, result.seen], [false, []]);
  assert.deepEqual([result.store.outlook, result.store.seq], [next, 4]);
  const none = applied(result.store, { push: 'outlook', clock: push.clock }, 14).store;
  assert.deepEqual([none.outlook, none.view], [null, { a: 2 }]);
});
