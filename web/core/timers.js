// Everything in the kitchen that runs against time, from a view and the server's time. Pure.
// Invariant: a process counts down only from a confirmed boil; what only waits counts up.

import { entriesOf, loadsAt } from './flow.js';

const MINUTE_MS = 60000;
/** Shown as "soon" this long before it is due. */
const SOON_MS = 2 * MINUTE_MS;
/** Filled hot jars that wait, minutes: common practice, no source. */
const HOT_JARS_MIN = { soon: 10, due: 20 };
/** Cut fruit at room temperature, minutes: two hours in all is the published limit. */
const CUT_FRUIT_MIN = { soon: 90, due: 120 };
const CUTTING = ['scald', 'peel', 'slice', 'cook', 'strain'];
const AT_REST = ['cool', 'freeze'];

function levelOf(leftMs) {
  if (leftMs <= -SOON_MS) return 'late';
  if (leftMs <= 0) return 'due';
  return leftMs <= SOON_MS ? 'soon' : 'calm';
}

const countdownTo = (dueAt, now) => ({
  due_at: dueAt,
  left: dueAt - now,
  level: levelOf(dueAt - now),
});

function potTimers(stationId, station, now) {
  return entriesOf(station.pots)
    .filter(([, pot]) => pot.phase === 'cooking')
    .flatMap(([potId, pot]) => {
      const where = { station: stationId, pot: potId };
      const stir = pot.stir_at && { kind: 'stir', ...where, ...countdownTo(pot.stir_at, now) };
      const done = pot.done_at && { kind: 'pot-done', ...where, ...countdownTo(pot.done_at, now) };
      return [stir, done].filter(Boolean);
    });
}

function loadTimer(stationId, { id, loadId, load }, now) {
  const where = { station: stationId, canner: id, load: loadId };
  if (load.phase === 'timing')
    return { kind: 'process', ...where, ...countdownTo(load.done_at, now) };
  if (load.phase === 'resting')
    return { kind: 'rest', ...where, ...countdownTo(load.rest_until, now) };
  const since = load.phase === 'heating' ? load.heated_at : load.built_at;
  const kind = load.phase === 'heating' ? 'heating' : 'loaded';
  return { kind, ...where, since, passed: now - since, level: 'calm' };
}

function agedWork(view, stationId, station, now) {
  if (AT_REST.includes(station.work)) return [];
  return entriesOf(station.waiting)
    .filter(([, waiting]) => waiting.oldest_at)
    .flatMap(([product, waiting]) => {
      const jars = station.nature?.is === 'canner';
      if (!jars && !isCut(view, product, stationId)) return [];
      const marks = jars ? HOT_JARS_MIN : CUT_FRUIT_MIN;
      const passed = now - waiting.oldest_at;
      if (passed < marks.soon * MINUTE_MS) return [];
      const level = passed >= marks.due * MINUTE_MS ? 'due' : 'soon';
      const kind = jars ? 'hot-jars' : 'cut-fruit';
      return [{ kind, station: stationId, product, since: waiting.oldest_at, passed, level }];
    });
}

function isCut(view, productId, stationId) {
  const route = view.products?.[productId]?.route ?? [];
  const index = route.findIndex((step) => step.station === stationId);
  return route
    .slice(0, Math.max(0, index))
    .some((step) => CUTTING.includes(view.stations?.[step.station]?.work));
}

const RANK = { late: 0, due: 1, soon: 2, calm: 3 };
const soonest = (timer) => timer.left ?? 1e12 - (timer.passed ?? 0);

/** All timers, most urgent first; each has a `key` that is the same on every device. */
export function timersOf(view, now) {
  if (!view || now === null) return [];
  const timers = entriesOf(view.stations).flatMap(([id, station]) => [
    ...potTimers(id, station, now),
    ...loadsAt(view, id).map((one) => loadTimer(id, one, now)),
    ...agedWork(view, id, station, now),
  ]);
  return timers
    .map((timer) => ({ ...timer, key: keyOf(timer) }))
    .sort((a, b) => RANK[a.level] - RANK[b.level] || soonest(a) - soonest(b));
}

function keyOf({ kind, station, pot, load, product, due_at, since }) {
  return [kind, station, pot ?? load ?? product, due_at ?? since].join('/');
}

/** Timers at one station. */
export const timersAt = (timers, stationId) => timers.filter((one) => one.station === stationId);

const RINGING = ['stir', 'pot-done', 'process', 'rest'];

/** Timers that must be heard: over, and nobody at this device has taken note. */
export function alarmsOf(timers, heardKeys) {
  return timers.filter(
    (timer) => RINGING.includes(timer.kind) && timer.left <= 0 && !heardKeys.includes(timer.key),
  );
}
