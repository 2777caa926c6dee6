// What a look back says of people and stations, picked out of its figures. Pure; words come from
// words/. Invariant: people stand in the order of their names and never of any figure.

import { given, t } from '../words/words.js';
import { inTongue } from './given.js';
import { carried, listed, span } from './format.js';
import { entriesOf } from './flow.js';

/** The look back with names the program gave in the language spoken. */
export function backInTongue(back) {
  const products = entriesOf(back.products).map(([id, name]) => [id, given(name)]);
  const moves = (back.moves ?? []).map((one) => (one.to ? { ...one, to: given(one.to) } : one));
  return { ...inTongue(back), products: Object.fromEntries(products), moves };
}

/** What a station can do with its time, in the order in which its bar is drawn: `[field, word]`. */
export const TIMES = [
  ['busy_ms', 'look-back.busy'],
  ['starved_ms', 'look-back.starved'],
  ['blocked_ms', 'look-back.blocked'],
  ['unstaffed_ms', 'look-back.unstaffed'],
  ['paused_ms', 'look-back.paused'],
  ['put_away_ms', 'look-back.put-away'],
];

/** The stations that stood ready at some time: `[[id, station]]`. */
export const stationsReady = (back) =>
  entriesOf(back.stations).filter(([, one]) => (one.put_away_ms ?? 0) < back.open_ms);

/** The parts of a station's bar, `{field, word, ms, from, share}` with places from 0 to 1. */
export function timesOf(station, openMs) {
  let from = 0;
  return TIMES.map(([field, word]) => {
    const share = (station[field] ?? 0) / Math.max(openMs, 1);
    const part = { field, word, ms: station[field] ?? 0, from, share };
    from += share;
    return part;
  });
}

/** The same in a sentence. */
export function timesWords(station, openMs) {
  const parts = timesOf(station, openMs)
    .filter(({ ms }) => ms > 0)
    .map(({ word, ms }) => t('look-back.times-part', { what: t(word), span: span(ms) }));
  return t('look-back.times-label', { station: station.name, parts: listed(parts) });
}

/** A sentence for each person, by name. */
export function personWords(back) {
  const name = (id) => back.stations?.[id]?.name ?? id;
  const people = Object.values(back.helpers ?? {});
  return people
    .sort((a, b) => String(a.name).localeCompare(String(b.name)))
    .map((one) => {
      const parts = entriesOf(one.stations).map(([id, ms]) =>
        t('look-back.person-at', { span: span(ms), station: name(id) }),
      );
      if (one.chores > 0) parts.push(t('look-back.person-chores', { n: one.chores }));
      return parts.length
        ? t('look-back.person', { name: one.name, parts: listed(parts) })
        : t('look-back.person-none', { name: one.name });
    });
}

/** What all of them did together, station by station; empty when nothing was done. */
export function togetherWords(back) {
  const parts = Object.values(back.stations ?? {})
    .filter((one) => one.done_carriers >= 1000 && one.carrier)
    .map((one) =>
      t('look-back.together-at', {
        amount: carried(one.done_carriers, one.carrier),
        station: one.name,
      }),
    );
  return parts.length ? t('look-back.together', { parts: listed(parts) }) : '';
}

/** What a thing to try says: `{what, why}`. */
export function tryWords(back, one) {
  const params = {
    station: back.stations?.[one.station]?.name ?? one.station,
    span: span(one.ms),
    ready: span(one.ready_ms),
    n: one.gaps ?? one.loads ?? 0,
  };
  return {
    what: t(`look-back.try.${one.try}`, params),
    why: t(`look-back.why.${one.try}`, params),
  };
}
