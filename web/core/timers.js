// Everything in the kitchen that runs against time, from a view and the server's time. Pure.
// Invariant: a process counts down only from a confirmed boil; what only waits counts up.

import { entriesOf, loadsAt } from './flow.js';
import { standingAt } from './stands.js';

const MINUTE_MS = 60000;
/** Shown as "soon" this long before it is due. */
const SOON_MS = 2 * MINUTE_MS;

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
  const until = (kind, at) => ({ kind, ...where, ...countdownTo(at, now) });
  const goingOn = (kind, since) => ({ kind, ...where, since, passed: now - since, level: 'calm' });
  if (load.phase === 'venting' && load.vent_until) return until('venting', load.vent_until);
  if (load.phase === 'timing') return until('process', load.done_at);
  if (load.phase === 'resting') {
    if (load.rest_until) return until(load.zero_at ? 'rest-pressure' : 'rest', load.rest_until);
    return goingOn('pressure-falls', load.heat_off_at ?? now);
  }
  if (load.phase === 'heating') return goingOn('heating', load.heated_at ?? now);
  return goingOn('loaded', load.built_at);
}

/** Filled jars, cut fruit and cooked pulp that stand past a mark the view gives. */
function stoodWork(stationId, station, now) {
  return standingAt(station, now).map(({ why, ...one }) => ({
    kind: why,
    station: stationId,
    ...one,
  }));
}

const RANK = { late: 0, due: 1, soon: 2, calm: 3 };
const soonest = (timer) => timer.left ?? 1e12 - (timer.passed ?? 0);

/** All timers, most urgent first; each has a `key` that is the same on every device. */
export function timersOf(view, now) {
  if (!view || now === null) return [];
  const timers = entriesOf(view.stations).flatMap(([id, station]) => [
    ...potTimers(id, station, now),
    ...loadsAt(view, id).map((one) => loadTimer(id, one, now)),
    ...stoodWork(id, station, now),
  ]);
  return timers
    .map((timer) => ({ ...timer, key: keyOf(timer) }))
    .sort((a, b) => RANK[a.level] - RANK[b.level] || soonest(a) - soonest(b));
}

// The server writes the same: src/day/alarms.rs.
function keyOf({ kind, station, pot, load, product, due_at, since }) {
  return [kind, station, pot ?? load ?? product, due_at ?? since].join('/');
}

/** Timers at one station. */
export const timersAt = (timers, stationId) => timers.filter((one) => one.station === stationId);

const RINGING = ['stir', 'pot-done', 'venting', 'process', 'rest', 'rest-pressure'];

/** Timers that are over and must be heard, until somebody takes them. */
export const alarmsOf = (timers) =>
  timers.filter((timer) => RINGING.includes(timer.kind) && timer.left <= 0);
