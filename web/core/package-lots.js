// Lots of packages as they are shown and labelled. Pure. Invariant: there is a label only for a
// package that stands where it may: sealed jars in the pantry, others in the cold, nothing recalled.

import { entriesOf } from './flow.js';

export const PLACES = ['pantry', 'freezer', 'refrigerator'];
export const VERDICTS = ['just-right', 'half-left', 'too-runny', 'not-liked'];
/** Why something is thrown away. */
export const WHYS = ['spoiled', 'unsealed', 'broken', 'old', 'recalled'];

/** Packages in thousandths as a whole count; a part of one is one package. */
export const countOf = (packages) => Math.max(0, Math.ceil((packages ?? 0) / 1000));

/**
 * The labels of a day's lots: `{labels: [{code, place, count, lot, kind}], none: [{code, lot, why,
 * count}]}`. The kind is "pantry", "freezer", "refrigerator" or "unsealed" (a jar in the
 * refrigerator because it did not seal or had not its full time); `why` is "waiting", "recalled" or
 * "gone".
 */
export function labelsOf(lots) {
  const labels = [];
  const none = [];
  for (const [code, lot] of entriesOf(lots)) {
    const places = PLACES.filter((place) => countOf(lot.left?.[place]) > 0);
    if (lot.recalled) {
      none.push({ code, lot, why: 'recalled', count: places.length });
      continue;
    }
    for (const place of places) {
      const kind = place === 'refrigerator' && lot.load ? 'unsealed' : place;
      labels.push({ code, place, kind, lot, count: countOf(lot.left[place]) });
    }
    if (lot.waiting > 0) none.push({ code, lot, why: 'waiting', count: countOf(lot.waiting) });
    else if (!places.length) none.push({ code, lot, why: 'gone', count: 0 });
  }
  return { labels, none };
}

/** A civil date so many days after another: how old something is, in days. */
export function daysBetween(from, to) {
  const day = (date) => Date.parse(`${date}T00:00:00Z`);
  return Math.round((day(to) - day(from)) / 86400000);
}

/** An age or a span of days in the unit that fits: `[unit, n]`, rounded down. */
export function spanOfDays(days) {
  if (days < 14) return ['days', Math.max(0, days)];
  if (days < 70) return ['weeks', Math.floor(days / 7)];
  return ['months', Math.floor(days / 30.4)];
}

/** The lot to be eaten first: what stands in the refrigerator keeps for days only; then the oldest. */
export function nextOf(product, place) {
  const there = (product.lots ?? []).filter(
    (lot) => !lot.recalled && lot.left > 0 && (!place || lot.place === place),
  );
  return there.find((lot) => lot.place === 'refrigerator') ?? there[0] ?? null;
}

/** Packages of a product that are left and recalled. */
export const recalledOf = (product) =>
  (product.lots ?? []).reduce((sum, lot) => sum + (lot.recalled ? countOf(lot.left) : 0), 0);

/** One whole package, or what is left where that is a part of one. */
export const oneOf = (left) => Math.min(1000, left);

/** Products of which something is at a place, or waits, or is looked for by name or code. */
export function shownProducts(products, { place, find }) {
  const sought = (find ?? '').trim().toLowerCase();
  const hit = (product) =>
    !sought ||
    product.name.toLowerCase().includes(sought) ||
    product.lots.some((lot) => lot.code.toLowerCase().includes(sought));
  return (products ?? [])
    .filter((product) => product.lots.length > 0 || product.waiting > 0)
    .filter((product) => !place || product.lots.some((lot) => lot.place === place))
    .filter(hit);
}

/** What one command did, as the key of its sentence and its parameters. */
export function didWords(event) {
  const packages = event.packages === undefined ? 0 : countOf(event.packages);
  const code = event.lot?.code ?? event.batch?.batch ?? '';
  return { key: `shelf.did.${event.fact}`, code, n: packages, ...event };
}
