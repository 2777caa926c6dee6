// What the people must be told beside the timers, from a view and the server's time. Pure; a
// warning is a key with parameters, the words are in words/. Invariant: danger comes first.

import { entriesOf } from './flow.js';
import { sealChecks } from './seals.js';

const RANK = { danger: 0, warn: 1, note: 2 };

function ofDay(view, now) {
  const list = [];
  const { day } = view;
  if (day.phase === 'open' && day.altitude_ft === undefined) {
    list.push({ level: 'warn', key: 'warning.altitude' });
  }
  if (day.phase === 'open' && day.cut_off_at && now !== null && now > day.cut_off_at) {
    list.push({ level: 'warn', key: 'warning.cut-off', params: { at: day.cut_off_at } });
  }
  return list;
}

function cannerName(view, { station, canner }) {
  const place = view.stations?.[station];
  return place?.canners?.[canner]?.name ?? place?.name ?? station;
}

function ofLoads(view) {
  return entriesOf(view.loads)
    .filter(([, load]) => load.short)
    .map(([id, load]) => ({
      level: 'danger',
      key: `warning.short.${load.fate ?? 'none'}`,
      load: id,
      station: load.station,
      params: { station: cannerName(view, load), jars: load.jar_count / 1000 },
    }));
}

function ofPots(view) {
  return entriesOf(view.stations).flatMap(([stationId, station]) =>
    entriesOf(station.pots)
      .filter(([, pot]) => pot.phase === 'cooking' && !pot.minder)
      .map(([, pot]) => ({
        level: 'danger',
        key: 'warning.unminded',
        station: stationId,
        params: { pot: pot.name, station: station.name },
      })),
  );
}

function ofHolds(view, now) {
  return entriesOf(view.stations)
    .filter(([, station]) => station.hold && station.set_up !== false)
    .map(([id, { name, hold }]) => ({
      level: 'warn',
      key: hold.until > now ? 'warning.hold-until' : 'warning.hold',
      station: id,
      params: { station: name, ...(hold.until > now && { at: hold.until }) },
    }));
}

function ofSeals(view, now) {
  return sealChecks(view, now)
    .filter(({ state }) => state !== 'cooling')
    .map(({ id, number, jars, by, state }) => ({
      level: 'warn',
      key: `warning.seals.${state}`,
      load: id,
      params: { number, jars, at: by },
    }));
}

/** All warnings, danger first. */
export function warningsOf(view, now) {
  if (!view?.day) return [];
  const all = [
    ...ofDay(view, now),
    ...ofLoads(view),
    ...ofPots(view),
    ...ofHolds(view, now),
    ...ofSeals(view, now),
  ];
  return all.sort((a, b) => RANK[a.level] - RANK[b.level]);
}

/** Supplies at or under their low mark. */
export function lowSupplies(view) {
  return entriesOf(view.supplies).filter(([, supply]) => supply.low);
}

/** Open chores, those nobody has taken first, then the oldest. */
export function choresOf(view) {
  return entriesOf(view.chores).sort(
    ([, a], [, b]) =>
      Number(Boolean(a.taken_by)) - Number(Boolean(b.taken_by)) || a.raised_at - b.raised_at,
  );
}
