// Whom an alarm asks: at first those concerned, a minute later everybody who could see to it, after
// two minutes everyone. Pure. Invariant: an alarm is silent only while a named person has it.

import { entriesOf } from './flow.js';
import { alarmsOf } from './timers.js';

/** So long an alarm waits for an answer before it is widened (common practice, no source). */
export const WIDENS_MS = 60000;
const EVERYONE = 2;

const isHere = (view, id) => view.helpers?.[id]?.presence === 'here';

/** Those an alarm is about: minder, backup, who sits there, the adults beside them. */
export function concerned(view, { station, pot }) {
  const place = view.stations?.[station];
  const { minder, backup } = place?.pots?.[pot] ?? {};
  const seats = entriesOf(place?.seated).flatMap(([id, { beside }]) => [id, beside]);
  const all = [minder, backup, ...seats].filter((id) => id && isHere(view, id));
  return [...new Set(all)];
}

/** Whether somebody may go there by the house rule: a child only from a seat there. */
export function mayTake(view, id, { station }) {
  const helper = view.helpers?.[id];
  if (!helper || !isHere(view, id)) return false;
  const verdict = helper.may?.[station] ?? 'allowed';
  return verdict === 'allowed' || (verdict === 'with-adult' && helper.station === station);
}

/** Everybody who may take an alarm, those concerned first. */
export function takers(view, alarm) {
  const first = concerned(view, alarm);
  const others = entriesOf(view.helpers).map(([id]) => id);
  return [...new Set([...first, ...others])].filter((id) => mayTake(view, id, alarm));
}

/** Who has an alarm and until when that keeps it silent; null when nobody does. */
function takenOf(view, key, now) {
  const taken = view.alarms?.[key];
  return taken && now < taken.again_at && isHere(view, taken.by) ? taken : null;
}

/**
 * The alarms of the kitchen, most urgent first: `taken` `{by, again_at}` or null; `step` 0 for those
 * concerned, 1 for everybody who could, 2 for everyone; `asks`, the ids of those concerned.
 */
export function ringingOf(view, timers, now) {
  return alarmsOf(timers).map((timer) => {
    const asks = concerned(view, timer).filter((id) => mayTake(view, id, timer));
    const again = view.alarms?.[timer.key]?.again_at <= now;
    const since = again ? view.alarms[timer.key].again_at : timer.due_at;
    // Work that somebody took and did not do is late already, and nobody concerned is nobody asked.
    const head = again || !asks.length ? 1 : 0;
    const step = Math.min(EVERYONE, head + Math.max(0, Math.floor((now - since) / WIDENS_MS)));
    return { ...timer, asks, again, step, taken: takenOf(view, timer.key, now) };
  });
}

/**
 * How a device stands to an alarm: 'take' (it asks whoever is here to go), 'tell' (to tell an
 * adult), 'show' (a screen that is nobody's), or null while it is not asked.
 */
export function askedAt(view, alarm, { screen, helper }) {
  if (screen === 'lead') return 'take';
  if (screen === 'wall') return 'show';
  const who = screen === 'helper' ? view.helpers?.[helper] : null;
  if (!who) return alarm.step >= EVERYONE ? 'show' : null;
  const may = mayTake(view, helper, alarm);
  if (alarm.asks.includes(helper)) return 'take';
  if (may) return alarm.step >= 1 ? 'take' : null;
  const seated = who.station === alarm.station;
  return seated || alarm.step >= EVERYONE ? 'tell' : null;
}

/** The alarms a device shows: those that ask it, and the taken ones that it would have shown. */
export function alarmsAt(view, timers, now, device) {
  return ringingOf(view, timers, now)
    .map((alarm) => ({ ...alarm, asked: askedAt(view, alarm, device) }))
    .filter(({ asked, taken }) => (taken ? asked || taken.by === device.helper : asked));
}

/** How soon an alarm rings again at each step, in milliseconds. */
export const repeatMs = (step) => [30000, 15000, 8000][step] ?? 8000;
