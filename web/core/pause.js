// A break of some minutes: how much of it is left, and the way back to the seat. Pure; the device
// keeps what it is given. Invariant: a seat is offered again only while it is free and allowed.

import { mayAt } from './seats.js';

const MINUTE_MS = 60000;

/** The breaks that are offered, in minutes. */
export const BREAKS = [5, 10, 20];

/** What a device keeps of a break that begins at `now` from where the helper sits. */
export function breakOf(view, helperId, minutes, now) {
  const { station } = view.helpers[helperId];
  const beside = station && view.stations[station]?.seated?.[helperId]?.beside;
  return {
    from: now,
    until: now + minutes * MINUTE_MS,
    ...(station && { station }),
    ...(beside && { beside }),
  };
}

/** Milliseconds of the break that are left (negative: over by), or null without one. */
export const breakLeft = (kept, now) =>
  kept?.until === undefined || now === null ? null : kept.until - now;

const canSit = (helper) => helper?.adult && helper.presence === 'here';

/** The command that takes the old seat again, or null where that cannot be. */
export function backOrder(view, helperId, kept) {
  const station = view.stations?.[kept?.station];
  const may = mayAt(view.helpers[helperId] ?? {}, kept?.station);
  if (!station?.set_up || station.free < 1 || may === 'never') return null;
  const order = { order: 'claim', helper: helperId, station: kept.station };
  if (may !== 'with-adult') return order;
  return canSit(view.helpers[kept.beside]) ? { ...order, beside: kept.beside } : null;
}
