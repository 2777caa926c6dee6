// Where fruit that is too soft, or spoilt, can go with one tap. Pure. Invariant: only ways the
// board takes without a further question are offered; the rest is for the form.

import { entriesOf, mayHold, stepAt } from './flow.js';

const OFF = ['fresh', 'refrigerator', 'freezer', 'scraps'];

/** Products that can take it as it is, and the place where it joins: `[{product, station}]`. */
function routes(view, product, stationId) {
  const { produce } = view.products?.[product] ?? {};
  const measure = stepAt(view, product, stationId)?.measure;
  return entriesOf(view.products)
    .filter(([id, other]) => id !== product && mayHold(other, produce) && other.route?.length)
    .map(([id, other]) => ({
      product: id,
      step: stepAt(view, id, stationId) ?? other.route[0],
    }))
    .filter(({ step }) => step.measure === measure && step.station)
    .filter(({ step }) => view.stations?.[step.station]?.nature?.is !== 'hold')
    .map(({ product: id, step }) => ({ product: id, station: step.station }));
}

/** One-tap ways, other products first: `[{as, product?, station?}]`. */
export function softWays(view, product, stationId) {
  const others = routes(view, product, stationId).map((one) => ({ as: 'route', ...one }));
  return [...others, ...OFF.map((as) => ({ as }))];
}

/** Amounts one tap can mean, of a waiting entry: a quarter, half and a whole carrier. */
export function softAmounts({ amount, carrier, measure }) {
  const holds = carrier?.holds ?? 1000;
  const whole = ['piece', 'jar', 'bag', 'tub'].includes(measure);
  return [...new Set([holds / 4, holds / 2, holds].map((one) => Math.min(one, amount)))].filter(
    (one) => one > 0 && (whole ? one % 1000 === 0 : Number.isInteger(one)),
  );
}

/** The command for one of the ways. */
export const softOrder = (stationId, product, amount, to) => ({
  order: 'divert',
  station: stationId,
  product,
  amount,
  to,
});
