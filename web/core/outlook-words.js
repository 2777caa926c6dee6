// Says the outlook in sentences: the finish, what holds up, moves, wins, what-ifs. Pure; words
// come from words/. Invariants: every kind the board can send has words, an unknown id shows
// itself, and no span is shown longer than it is.

import { given, known, t } from '../words/words.js';
import { listed, timeOfDay, whenWords } from './format.js';
import { cannersAt } from './flow.js';
import { endOf, whatWaits, withoutHands } from './outlook.js';

const nameIn = (map, id) => map?.[id]?.name ?? id ?? '';
const down = (minutes) => Math.max(0, Math.floor(Math.abs(minutes)));

/** Minutes for the eye: "under 1 min", "25 min", "2 h 5 min". */
export function minutesShort(minutes) {
  const n = down(minutes);
  if (n < 1) return t('minutes.under');
  if (n < 100) return t('minutes.short', { n });
  return t('span.hours', { hours: Math.floor(n / 60), minutes: n % 60 });
}

/** Minutes as they are spoken: "less than a minute", "25 minutes", "2 hours". */
export function minutesSpoken(minutes) {
  const n = down(minutes);
  if (n < 1) return t('minutes.less');
  if (n < 100) return t('minutes.spoken', { n });
  const halves = Math.floor(n / 30);
  return t('minutes.hours', { n: `${Math.floor(halves / 2)}${halves % 2 ? '½' : ''}` });
}

/** A share as "n of 100": certain and impossible are said only where they are meant. */
export function ofHundred(share) {
  const n = Math.round(share * 100);
  if (share < 1 && n >= 100) return 99;
  return share > 0 && n <= 0 ? 1 : n;
}

const HALF_DAY_MS = 12 * 60 * 60000;

/** A moment to come: half a day ahead the time alone cannot be mistaken, later on with the day. */
const soonWords = (ms, now) =>
  Math.abs(ms - now) < HALF_DAY_MS ? timeOfDay(ms) : whenWords(ms, now);

/** The three times of a band in words. */
export const bandTimes = ({ p10, p50, p90 }, now) => ({
  early: soonWords(p10, now),
  at: soonWords(p50, now),
  late: soonWords(p90, now),
});

/** "by 15:30 in 62 of 100 days", or '' without a cut-off. */
export function byCutOff(view, outlook, now) {
  const at = view.day?.cut_off_at;
  if (!at || outlook.by_cut_off === undefined) return '';
  return t('finish.by', { at: soonWords(at, now), n: ofHundred(outlook.by_cut_off) });
}

/** The finish in a few words: "Done about 15:40", "No end in sight", "Nothing is left to do". */
export function finishTitle(outlook, now) {
  const end = endOf(outlook);
  if (end === 'band') return t('finish.title', { at: bandTimes(outlook.finish, now).at });
  return t(end === 'never' ? 'finish.no-end' : 'finish.nothing');
}

const MOST_NAMED = 3;

/** Why no end is in sight, with the stations that need hands; '' where there is an end. */
export function noEndWords(view, outlook) {
  if (endOf(outlook) !== 'never') return '';
  const names = withoutHands(view, outlook).slice(0, MOST_NAMED);
  if (!names.length) return t('finish.no-end-plain');
  const stations = listed(names.map((id) => nameIn(view.stations, id)));
  return t('finish.no-end-why', { stations, n: names.length });
}

/** The finish in one sentence. */
export function finishSentence(view, outlook, now) {
  if (endOf(outlook) === 'never') return `${t('finish.no-end')}. ${noEndWords(view, outlook)}`;
  if (!outlook.finish) return t('finish.none');
  const times = bandTimes(outlook.finish, now);
  const by = byCutOff(view, outlook, now);
  return t('finish.sentence', { ...times, by: by && `; ${by}` });
}

/** Why a station holds the kitchen up now; `too` where the sentence before named it already. */
export function holdsUpWords(view, { station, without_pause_min: minutes, starves }, too) {
  const next = starves && nameIn(view.stations, starves);
  return t(`holds-up.${too ? 'too.' : ''}${starves ? 'starves' : 'busy'}`, {
    station: nameIn(view.stations, station),
    span: minutesShort(minutes),
    next,
  });
}

/** Why a station sets the finish. */
export const setsFinishWords = (view, { station, share }) =>
  t('sets-finish.share', { station: nameIn(view.stations, station), n: ofHundred(share) });

/** What a station's box says: "nothing to do in 6 min". */
export const saysWords = ({ says, minutes }) =>
  t(`says.${says}`, { span: minutesShort(minutes ?? 0) });

/** Who goes where, in a few words: "Wren to Core and slice". */
export function moveTitle(view, { steps }) {
  const [one, other] = steps.map(({ helper, to }) => ({
    helper: nameIn(view.helpers, helper),
    to: nameIn(view.stations, to),
  }));
  if (!other) return t('move.one', one);
  return t('move.swap', { one: one.helper, to: one.to, other: other.helper, back: other.to });
}

/** From where and with whom beside: "from Wash, Edda beside"; `short` says only who is beside. */
export function moveFrom(view, { steps }, short) {
  const beside = steps
    .filter((step) => step.beside)
    .map((step) =>
      t('move.beside', {
        adult: nameIn(view.helpers, step.beside),
        helper: nameIn(view.helpers, step.helper),
      }),
    );
  const from = short || steps.length > 1 ? [] : [fromWords(view, steps[0])];
  return [...from, ...beside].join(', ');
}

const fromWords = (view, { from }) =>
  from ? t('move.from', { station: nameIn(view.stations, from) }) : t('move.free');

/** What it gains and how sure that is; '' for a move that keeps food from standing. */
export function moveGain({ gain_min: gain, sure }, short) {
  if (gain < 1) return '';
  const key = short ? 'move.gain.short' : 'move.gain';
  return t(key, { span: minutesShort(gain), n: ofHundred(sure) });
}

/** Why a move helps; `short` where the move beside it names the station already. */
export function whyWords(view, { because, station, product, waiting_min: waiting }, short) {
  return t(short ? `why.${because}.short` : `why.${because}`, {
    station: nameIn(view.stations, station),
    product: nameIn(view.products, product),
    span: minutesShort(waiting ?? 0),
  });
}

/** Why everybody stays. */
export function stayWords(view, { because, station, best_gain_min: gain }) {
  const least = because === 'too-little' && down(gain) < 1 ? '.none' : '';
  const params = { station: nameIn(view.stations, station), span: minutesShort(gain ?? 0) };
  return t(`stay.${because}${least}`, params);
}

/** A win in two parts: `{what, why}`, what to do and what that brings. */
export function winWords(view, win, now) {
  const jar = view.products?.[win.product]?.ends_in?.jar;
  const params = {
    station: nameIn(view.stations, win.station),
    product: nameIn(view.products, win.product),
    lot: nameIn(view.lots, win.lot),
    n: win.jars,
    jars: jar ? t(`jar.${jar}`, { n: win.jars }) : t('package.jar', { n: win.jars }),
    gain: minutesShort(win.gain_min ?? 0),
    wait: minutesShort(win.wait_min ?? win.jars_in_min ?? 0),
    dry: minutesShort(win.dry_in_min ?? 0),
    stake: minutesShort(win.at_stake_min ?? 0),
    by: view.day?.cut_off_at ? soonWords(view.day.cut_off_at, now) : '',
  };
  const soon = (win.jars_in_min ?? win.dry_in_min ?? 1) < 1 ? '.now' : '';
  const key = `win.${win.win}`;
  const why = [`${key}.why${soon}`, `${key}.why`].find(known);
  return { what: t(key, params), why: t(why, params) };
}

/** A change to try and what it would do: `{what, effect, way}`; way 'sooner', 'later', 'same'. */
export function whatIfWords(view, one) {
  const way = down(one.finish_min) < 1 ? 'same' : one.finish_min < 0 ? 'sooner' : 'later';
  return {
    way,
    what: t(`what-if.${one.if}`, { station: nameIn(view.stations, one.station) }),
    effect: t(`what-if.${way}`, { span: minutesShort(one.finish_min) }),
    often: t('what-if.often', { n: ofHundred(one.earlier) }),
  };
}

/** "25 minutes of pears are waiting", for a child to read. */
export function waitingSpoken(view, station, minutes) {
  const what = listed(whatWaits(view, station).map(given)) || t('waiting.work');
  return t('needs-you.waiting', { span: minutesSpoken(minutes), one: down(minutes) <= 1, what });
}

/** "Slicing needs you: 25 minutes of pears are waiting". */
export const needsYou = (view, { station, waiting_min: minutes }) =>
  t('needs-you', {
    station: nameIn(view.stations, station),
    waiting: waitingSpoken(view, station, minutes),
  });

/** What a rate or a queue of a station is counted in: its carrier, where all products share one. */
export function carrierAt(view, stationId) {
  if (cannersAt(view, stationId).length) return 'jar';
  const names = new Set(
    Object.values(view.products ?? {})
      .flatMap((product) => product.route ?? [])
      .filter((step) => step.station === stationId)
      .map((step) => step.carrier?.name),
  );
  return names.size === 1 ? [...names][0] : null;
}

/** The last moment to open one more box of a lot. */
export function lastBoxWords(view, lotId, { open_by: until, finish_if_now: band }, now) {
  return t(until ? 'last-box.until' : 'last-box.too-late', {
    lot: nameIn(view.lots, lotId),
    until: until && soonWords(until, now),
    at: soonWords(band.p50, now),
  });
}

/** The present pace against the best possible. */
export const paceWords = ({ best_min: best, now_min: now, share }) =>
  t('pace.sentence', {
    now: minutesShort(now),
    best: minutesShort(best),
    n: Math.floor(share * 100),
  });

/** When the last of a product is made, and how many packages that gives. */
export function productWords(view, id, { finish, made_p10: low, made_p90: high }, now) {
  const product = view.products?.[id];
  const [from, to] = [Math.floor(low), Math.floor(high)];
  const kind = product?.ends_in?.jar ? `jar.${product.ends_in.jar}` : `package.${product?.package}`;
  const unit = known(kind) ? t(kind, { n: to }) : '';
  return t(unit ? 'product-ahead' : 'product-ahead.plain', {
    ...bandTimes(finish, now),
    product: nameIn(view.products, id),
    made: from === to ? `${to}` : t('numbers.between', { from, to }),
    unit,
  });
}
