// The seal check as it is shown: which loads are due, how many jars are still to be looked at, what
// is written on their labels. Pure. Invariant: a load's number never changes once it is given.

import { entriesOf } from './flow.js';

const HOUR_MS = 3600000;
/** Jars cool 12 to 24 hours before the check, and an unsealed one is processed again only within
 * 24 hours: published guidance. Used only where the view does not say. */
const FROM_H = 12;
const BY_H = 24;

const lifted = (view) =>
  entriesOf(view.loads)
    .filter(([, load]) => load.lifted_at !== undefined)
    .sort(([a, one], [b, other]) => one.lifted_at - other.lifted_at || (a < b ? -1 : 1));

/** The number of a lifted load on this day, from 1; null before it is lifted. */
export function loadNumber(view, loadId) {
  const at = lifted(view).findIndex(([id]) => id === loadId);
  return at < 0 ? null : at + 1;
}

/** Jars of a load to be looked at still: `[{product, lot, jars}]`. */
export function uncheckedOf(load) {
  return entriesOf(load.unchecked).flatMap(([product, lots]) =>
    entriesOf(lots)
      .map(([lot, amount]) => ({ product, lot, jars: Math.floor(amount / 1000) }))
      .filter(({ jars }) => jars > 0),
  );
}

const sumOf = (list) => list.reduce((sum, one) => sum + one.jars, 0);

/**
 * Lifted loads with jars to be looked at, the earliest first:
 * `[{id, load, number, jars, from, by, state}]`; the state is "cooling", "due" or "late".
 */
export function sealChecks(view, now) {
  return lifted(view)
    .map(([id, load], index) => {
      const from = load.seals_from ?? load.lifted_at + FROM_H * HOUR_MS;
      const by = load.seals_by ?? load.lifted_at + BY_H * HOUR_MS;
      const jars = sumOf(uncheckedOf(load));
      const state = now === null || now < from ? 'cooling' : now < by ? 'due' : 'late';
      return { id, load, number: index + 1, jars, from, by, state };
    })
    .filter(({ jars, load }) => jars > 0 && !load.short);
}

/** Whether a failed jar may be processed again, or why not: null, "late", "raw" or "closed". */
export function whyNotAgain(view, product, { state }) {
  if (view.products?.[product]?.ends_in?.pack === 'raw') return 'raw';
  if (view.day?.phase !== 'open') return 'closed';
  return state === 'late' ? 'late' : null;
}

const OUTCOMES = ['sealed', 'refrigerated', 'frozen', 'reprocessed', 'broken'];

/** How the jars of a product and lot were found so far: `{sealed, refrigerated, ...}`. */
export function foundOf(load, product, lot) {
  const checks = (load.checked ?? []).filter((one) => one.product === product && one.lot === lot);
  const count = (outcome) => checks.reduce((sum, one) => sum + (one[outcome] ?? 0), 0);
  return Object.fromEntries(OUTCOMES.map((outcome) => [outcome, count(outcome)]));
}

/** Every lifted load, the latest first, with what is written on its jars. */
export function loadsWithLabels(view) {
  return lifted(view)
    .map(([id, load], index) => ({ id, load, number: index + 1, labels: labelsOf(view, load) }))
    .reverse();
}

function labelsOf(view, load) {
  return entriesOf(load.jars).flatMap(([product, lots]) =>
    entriesOf(lots).map(([lot, amount]) => ({
      product: view.products?.[product]?.name ?? product,
      lot: view.lots?.[lot]?.name ?? lot,
      jars: Math.floor(amount / 1000),
      unchecked: Math.floor((load.unchecked?.[product]?.[lot] ?? 0) / 1000),
      found: foundOf(load, product, lot),
    })),
  );
}
