// Choosing jars for a load: what to begin with, and what stands against a choice. For showing
// only; the server decides. Pure. Invariant: a choice of one product that fits has no fault.

import { waitingAt } from './flow.js';
import { stoodTooLong } from './stands.js';

const endingOf = (view, product) => view.products?.[product]?.ends_in ?? {};
const jarOf = (view, product) => endingOf(view, product).jar ?? 'quart';
const testedOf = (view, product) => view.products?.[product]?.process?.tested;

/** What waits at a canner, the oldest first. */
export function jarsInOrder(station) {
  const oldest = (one) => one.oldest_at ?? Infinity;
  return waitingAt(station).sort((a, b) => oldest(a) - oldest(b));
}

/** The jars to begin with: as many of the oldest product as wait, are fresh and fit. */
export function suggestedJars(view, station, holds, now = null) {
  const list = jarsInOrder(station);
  const room = (one) => holds[jarOf(view, one.product)] ?? 0;
  const refused = (one) => Boolean(view.products?.[one.product]?.process?.refused);
  const first = list.find(
    (one) => one.amount >= 1000 && room(one) > 0 && !refused(one) && !stoodTooLong(one, now),
  );
  return Object.fromEntries(
    list.map((one) => [
      one.product,
      one === first ? Math.min(Math.floor(one.amount / 1000), room(one)) : 0,
    ]),
  );
}

/** How full the canner is with a choice of `[{product, jars}]`: 1 is full. */
export function fullness(view, holds, picked) {
  return picked.reduce((sum, one) => {
    const most = holds[jarOf(view, one.product)] ?? 0;
    return sum + (most > 0 ? one.jars / most : Infinity);
  }, 0);
}

const several = (values) => new Set(values).size > 1;

/**
 * What stands against a choice: "stood", "over", "packs", "pressures", or "mixed", which the lead
 * can settle.
 */
export function faultsOf(view, station, holds, picked, now) {
  const products = picked.map((one) => one.product);
  const tested = products.map((id) => testedOf(view, id)).filter(Boolean);
  const faults = [
    ['stood', products.some((id) => stoodTooLong(station.waiting?.[id], now))],
    ['over', fullness(view, holds, picked) > 1 + 1e-9],
    ['packs', several(products.map((id) => endingOf(view, id).pack))],
    ['pressures', several(tested.map((one) => one.psi ?? 0))],
    ['mixed', products.length > 1],
  ];
  return faults.filter(([, holdsTrue]) => holdsTrue).map(([name]) => name);
}

/** The product whose time the whole load gets, with its process; null while none is known. */
export function longestOf(view, picked) {
  return picked.reduce((longest, { product }) => {
    const tested = testedOf(view, product);
    if (!tested) return longest;
    return !longest || tested.minutes > longest.tested.minutes ? { product, tested } : longest;
  }, null);
}
