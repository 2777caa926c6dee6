// What a package is called and when it was made, in words, for labels, lots and the shelf.

import { t } from '../../words/words.js';
import { civilDate, measured } from '../../core/format.js';
import { manner } from '../../core/manner.js';

/** "quart jar", "bag of 2 lb", "tub". */
export function packageWords({ measure, jar, holds }) {
  if (jar) return t(`shelf.jar.${jar}`);
  const word = t(`shelf.package.${measure}`);
  if (!holds) return word;
  return t('shelf.package.of', { package: word, amount: measured(holds.amount, holds.measure) });
}

/** A civil date `YYYY-MM-DD` as the device writes it: "12 Sep 2026". */
export function dateWords(date) {
  const [year, month, day] = String(date).split('-').map(Number);
  if (!day) return String(date ?? '');
  const when = new Date(year, month - 1, day);
  const parts = { day: 'numeric', month: 'short', year: 'numeric' };
  return new Intl.DateTimeFormat(manner().locale, parts).format(when);
}

/** The day of a moment, as the device writes it. */
export const momentDate = (ms) => dateWords(civilDate(ms));

/** When it was packed, frozen or chilled: a jar for the pantry by the date of its day. */
export function madeWords({ place, lot }, date) {
  if (place === 'pantry') return t('tags.packed', { date: dateWords(date) });
  const at = momentDate(lot.places?.[place]?.at ?? lot.filled_to);
  return t(place === 'freezer' ? 'tags.frozen' : 'tags.chilled', { date: at });
}

/** How long it keeps, as far as that is published. */
export function keepWords({ kind, place, lot }) {
  const until = lot.places?.[place]?.keeping?.best_by;
  if (kind === 'freezer' && !until) return t('tags.keep.refrigerator');
  return t(`tags.keep.${kind}`, { date: until ? dateWords(until) : '' });
}
