// Reads what is to come out of the board's outlook: whether it is still true, which moves still
// stand, what a station's box says, where hands are needed. Pure selections, no words.
// Invariant: an outlook that is too old is never used to tell somebody what to do.

import { boxesMayCome, entriesOf, waitingAt } from './flow.js';
import { seatOrder } from './seats.js';

const MINUTE_MS = 60000;
/** The board makes a new outlook every minute; an older one than this is not true any more. */
const STALE_MS = 3 * MINUTE_MS;
/** "Nothing to do in n min" is said from here on. */
const DRY_SOON_MIN = 15;
/** What was answered here stays away until the board has had time to leave it out itself. */
const ASIDE_MS = MINUTE_MS;

/**
 * Whether an outlook is too old to act on, by the server's time. A day that is played `speed` times
 * faster than life is looked ahead of no oftener than any other.
 */
export const isStale = (outlook, now, speed = 1) =>
  Boolean(outlook) && now !== null && now - outlook.at > STALE_MS * Math.max(1, speed);

/** The outlook while it can be acted on, else null. */
export const freshOutlook = (outlook, now, speed = 1) =>
  outlook && now !== null && !isStale(outlook, now, speed) ? outlook : null;

/** How the day ends: with a 'band' of times, 'never' as everybody sits now, or 'nothing' is left. */
export const endOf = (outlook) =>
  outlook.finish ? 'band' : outlook.runs > 0 ? 'never' : 'nothing';

/** Stations where nobody works though work is to come, the deepest first. */
export function withoutHands(view, outlook) {
  return entriesOf(outlook?.stations)
    .filter(([id, { doing }]) => doing === 'unstaffed' && view.stations?.[id]?.set_up)
    .sort(([, one], [, other]) => (other.depth_min ?? 0) - (one.depth_min ?? 0))
    .map(([id]) => id);
}

/** What marks a station: 'holds-up' now, 'sets-finish' for the day. */
export function marksOf(outlook, stationId) {
  if (!outlook) return [];
  const marks = [];
  if (outlook.holds_up_now?.station === stationId) marks.push('holds-up');
  if (outlook.sets_finish?.station === stationId) marks.push('sets-finish');
  return marks;
}

/** Minutes of work that wait at a station, or null where that says nothing. */
export function depthAt(view, outlook, stationId) {
  const minutes = outlook?.stations?.[stationId]?.depth_min;
  const holds = view.stations?.[stationId]?.nature?.is === 'hold';
  return holds || minutes === undefined || minutes < 1 ? null : minutes;
}

/** Whether a whole carrier waits for somebody, whatever an older outlook says. */
const hasWork = (station) => waitingAt(station).some(({ carriers }) => carriers >= 1000);

/**
 * What a station says beside its queue: `{says, minutes}` with 'blocked', 'starved', 'unstaffed',
 * 'dry' (soon) or 'finished'; null when work simply goes on.
 */
export function stationSays(view, outlook, stationId) {
  const station = view.stations?.[stationId];
  const ahead = outlook?.stations?.[stationId];
  if (!ahead || !station || station.nature?.is === 'hold') return null;
  if (ahead.doing === 'blocked') return { says: 'blocked' };
  // Fruit that has come since the outlook was made is not known to it yet.
  if (ahead.doing === 'starved') return hasWork(station) ? null : { says: 'starved' };
  if (ahead.doing === 'finished')
    return boxesMayCome(view, stationId) ? null : { says: 'finished' };
  if (ahead.doing === 'unstaffed') return ahead.depth_min >= 1 ? { says: 'unstaffed' } : null;
  const dry = ahead.dry_in_min;
  if (ahead.doing !== 'working' || dry === undefined || dry > DRY_SOON_MIN) return null;
  return { says: 'dry', minutes: dry };
}

/** What waits at a station: `['pears']`, at most two kinds of produce, or `['jars']`; else []. */
export function whatWaits(view, stationId) {
  const list = waitingAt(view.stations?.[stationId] ?? {});
  if (list.length && list.every((one) => one.measure === 'jar')) return ['jars'];
  const kinds = [...new Set(list.map((one) => view.products?.[one.product]?.produce))];
  return kinds.length <= 2 && kinds.every(Boolean) ? kinds : [];
}

/** From here on a queue is long enough to call somebody to it. */
const DEEP_MIN = 30;

/** Whether more hands would find work: nobody is there, or it decides the day, or it is deep. */
function wantsHands(station, ahead, marked) {
  if (!station?.set_up || station.free < 1 || ahead.depth_min < 1) return false;
  if (ahead.doing === 'unstaffed') return true;
  if (ahead.doing !== 'working' || ahead.dry_in_min <= DRY_SOON_MIN) return false;
  const byHand = ['hand', 'vessel'].includes(station.nature?.is);
  return byHand && (marked || ahead.depth_min >= DEEP_MIN);
}

/** Stations with a free seat where work waits for hands, the one that matters most first. */
export function handsNeeded(view, outlook) {
  if (!outlook) return [];
  const marked = (id) => marksOf(outlook, id).length > 0;
  const rank = (id, ahead) => (marked(id) ? 0 : ahead.doing === 'unstaffed' ? 1 : 2);
  return entriesOf(outlook.stations)
    .filter(([id, ahead]) => wantsHands(view.stations?.[id], ahead, marked(id)))
    .sort(([a, x], [b, y]) => rank(a, x) - rank(b, y) || y.depth_min - x.depth_min)
    .map(([station, { depth_min: minutes }]) => ({ station, minutes }));
}

/** Whether a move can still be made: everybody in it sits where they sat when it was found. */
function stands(view, move) {
  return move.steps.every(({ helper, from, to }) => {
    const one = view.helpers?.[helper];
    return one?.presence === 'here' && one.station === from && view.stations?.[to]?.set_up;
  });
}

/** Of what was answered on this device, by id and the device's monotonic time: what stays away. */
export const stillAside = (answered, monotonicMs) =>
  Object.keys(answered).filter((id) => monotonicMs - answered[id] < ASIDE_MS);

/** The moves that still stand, without those whose ids are `aside`. */
export function movesOf(view, outlook, aside = []) {
  return (outlook?.moves ?? []).filter((move) => stands(view, move) && !aside.includes(move.id));
}

/** A name for a win, the same for the same one. */
export const winId = ({ win, station, lot, product }) =>
  [win, station ?? lot, product].filter(Boolean).join(':');

/** The best move that a helper is part of, or null. */
export const moveFor = (moves, helperId) =>
  moves.find(({ steps }) => steps.some(({ helper }) => helper === helperId)) ?? null;

/** The command that makes a move: claim, switch or swap, with the adults who stay beside. */
export function moveOrder(view, move) {
  const [one, other] = move.steps;
  if (!other) return seatOrder(view.helpers[one.helper], one.helper, one.to, one.beside);
  return {
    order: 'swap',
    one: one.helper,
    other: other.helper,
    ...(one.beside && { beside_one: one.beside }),
    ...(other.beside && { beside_other: other.beside }),
  };
}

const said = (order, move) => ({
  order,
  move: move.id,
  gain_min: Math.max(0, Math.floor(move.gain_min)),
});

/** The command that sets a move aside. */
export const asideOrder = (move) => said('set-aside-move', move);

/** The command that writes down, once it is made, that a move was. */
export const takenOrder = (move) => said('take-move', move);

/** Whether a command that makes or sets aside this move is on its way. */
export function isOnItsWay(app, move) {
  const made = JSON.stringify(moveOrder(app.view, move));
  return app.pending(
    ({ command }) =>
      JSON.stringify(command) === made ||
      (command.order === 'set-aside-move' && command.move === move.id),
  );
}

/** Where a helper could go, the best first, as far as the seats are still free. */
export function choicesFor(view, outlook, helperId) {
  const list = outlook?.helpers?.[helperId]?.choices ?? [];
  return list.filter(({ station }) => {
    const place = view.stations?.[station];
    return place?.set_up && place.free > 0 && view.helpers?.[helperId]?.station !== station;
  });
}

/** How a helper's own seat will fare: `{dry: minutes}`, `{idle: true}`, or null. */
export function seatAhead(view, outlook, helperId) {
  const seat = view.helpers?.[helperId]?.station;
  const ahead = outlook?.stations?.[seat];
  if (!ahead) return null;
  if (['starved', 'finished'].includes(ahead.doing))
    return hasWork(view.stations[seat]) ? null : { idle: true };
  const dry = outlook.helpers?.[helperId]?.dry_in_min;
  return dry !== undefined && dry <= DRY_SOON_MIN ? { dry } : null;
}

/** How well the finish and the cut-off go together: 'calm', 'soon' or 'due'; null without one. */
export function cutOffLevel(outlook) {
  const share = outlook?.by_cut_off;
  if (share === undefined) return null;
  if (share >= 0.8) return 'calm';
  return share >= 0.4 ? 'soon' : 'due';
}

/** What helps, as `{win}` and `{move}`: the best of each first, so that neither crowds the other out,
 * without what was answered already. */
export function adviceOf({ view, ahead, aside }) {
  // A box that was just opened is not offered a second time.
  const free = ahead.wins.filter((win) => !aside.includes(winId(win)));
  const wins = free.map((win) => ({ win }));
  const moves = movesOf(view, ahead, aside).map((move) => ({ move }));
  return [...wins.slice(0, 1), ...moves.slice(0, 1), ...wins.slice(1), ...moves.slice(1)];
}
