// Amounts, times and counts as short text for the eye. Pure; words come from words/.
// Invariant: what is shown is never rounded up to something that is not there.

import { t } from '../words/words.js';
import { manner } from './manner.js';
import { shownAs, typedIn } from './units.js';

const FRACTIONS = { 0: '', 250: '¼', 500: '½', 750: '¾' };

/** Thousandths as a plain decimal without trailing zeros, at most two places: 2500 is "2.5". */
export function decimal(amount) {
  const sign = amount < 0 ? '−' : '';
  const hundredths = Math.floor(Math.abs(amount) / 10);
  const rest = String(hundredths % 100)
    .padStart(2, '0')
    .replace(/0+$/, '');
  return `${sign}${Math.floor(hundredths / 100)}${rest && `${manner().point}${rest}`}`;
}

/** The same text on one line: a number stays with what it counts. */
export const held = (text) => text.replaceAll(' ', '\u00a0');

/** An amount with its measure, in what this device measures by: "7.5 lb", "3.4 kg", "1 jar". */
export function measured(amount, measure) {
  const shown = shownAs(amount, measure, manner().units);
  const params = { amount: decimal(shown.amount), n: shown.amount / 1000 };
  return held(t(`measure.${shown.measure}`, params));
}

/** Carriers in thousandths to the quarter: 2500 is "2½", less than a quarter "under ¼". */
export function quarters(thousandths) {
  const down = Math.floor(thousandths / 250) * 250;
  if (down === 0) return thousandths > 0 ? t('amount.scrap') : '0';
  const whole = Math.floor(down / 1000);
  return `${whole || ''}${FRACTIONS[down % 1000]}`;
}

/** "3 bowls", "½ pot". */
export function carried(thousandths, name) {
  const n = Math.floor(thousandths / 250) / 4;
  return held(t('amount.carriers', { amount: quarters(thousandths), n, name }));
}

/** What is typed in a field of `measure`, as thousandths of it: "2.5", or "2.5 kg" in another. */
export const typedAmount = (text, measure) =>
  parsedAmount(text) ?? typedIn(text, measure, parsedAmount);

/** A typed decimal as thousandths, or null when it is no number we can keep exactly. */
export function parsedAmount(text) {
  const plain = String(text).trim().replace(',', '.');
  if (!/^\d{1,7}(\.\d{0,3})?$/.test(plain)) return null;
  const [whole, rest = ''] = plain.split('.');
  return Number(whole) * 1000 + Number(rest.padEnd(3, '0'));
}

const two = (n) => String(n).padStart(2, '0');

/** Time left or passed as a running clock: "24:05", "1:02:30". Never negative. */
export function running(ms) {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  const tail = `${two(minutes)}:${two(seconds % 60)}`;
  return hours > 0 ? `${hours}:${tail}` : `${minutes}:${two(seconds % 60)}`;
}

/** Time left on a countdown: rounded up, so that 0:00 is shown only when it is over. */
export function countdown(ms) {
  return running(Math.ceil(Math.max(0, ms) / 1000) * 1000);
}

/** A span in the unit that fits: "40 s", "14 min", "3 h 5 min". */
export function span(ms) {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  if (hours > 0) return held(t('span.hours', { hours, minutes }));
  return held(minutes > 0 ? t('span.minutes', { minutes }) : t('span.seconds', { seconds }));
}

/** Time of day in this device's zone as a field of times holds it: "14:05". */
export function timeField(ms) {
  const when = new Date(ms);
  return `${two(when.getHours())}:${two(when.getMinutes())}`;
}

const HALF_DAYS = { hour: 'numeric', minute: '2-digit', hour12: true };
const DAY = { weekday: 'short', day: 'numeric', month: 'short' };
const formats = new Map();

/** Writes a moment by `parts`. To make a format is slow, to use it is not. */
function written(ms, parts) {
  const { locale } = manner();
  const kept = formats.get(parts);
  if (kept?.locale === locale) return kept.format.format(ms);
  const format = new Intl.DateTimeFormat(locale, parts);
  formats.set(parts, { locale, format });
  return format.format(ms);
}

/** Time of day in this device's zone, as the device writes it: "14:05", "2:05 PM". */
export const timeOfDay = (ms) =>
  manner().halfDays ? written(ms, HALF_DAYS).replace(/\s/g, '\u00a0') : timeField(ms);

const sameDay = (one, other) => civilDate(one) === civilDate(other);

/** A time of day, with the day where it is another than today's: "10:49 on Thu, Nov 26". */
export function whenWords(ms, now) {
  const at = timeOfDay(ms);
  if (now === null || now === undefined || sameDay(ms, now)) return at;
  return t('when.other-day', { at, date: written(ms, DAY) });
}

/** Names in a sentence: "Maren, Osk and Bo". */
export function listed(names) {
  if (names.length < 2) return names[0] ?? '';
  return t('list.and', { most: names.slice(0, -1).join(', '), last: names.at(-1) });
}

/** The moment of a time of day ("15:30") on a civil date, in this device's zone; or undefined. */
export function momentOn(date, time) {
  if (!/^\d{4}-\d\d-\d\d$/.test(date ?? '') || !/^\d\d:\d\d$/.test(time ?? '')) return undefined;
  const [year, month, day] = date.split('-').map(Number);
  const [hours, minutes] = time.split(':').map(Number);
  return new Date(year, month - 1, day, hours, minutes).getTime();
}

/** A day as `YYYY-MM-DD` in this device's zone. */
export function civilDate(ms) {
  const when = new Date(ms);
  return `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`;
}
