// What the tested process of a product asks, read out of a view: where jars are filled, how they
// are heated, which words fit the heat. Pure. Invariant: a number is passed on as the view gives
// it or not at all; nothing is assumed for an altitude that is not known.

import { entriesOf, stepAt, waysOn } from './flow.js';

/** An inch in 64ths as people measure it: 32 is "1/2", 80 is "1 1/4". */
export function inches(sixtyFourths) {
  const whole = Math.floor(sixtyFourths / 64);
  let [part, of] = [sixtyFourths % 64, 64];
  while (part > 0 && part % 2 === 0) [part, of] = [part / 2, of / 2];
  const fraction = part > 0 ? `${part}/${of}` : '';
  return [whole || '', fraction].filter(Boolean).join(' ') || '0';
}

const isCanner = (view, stationId) => view.stations?.[stationId]?.nature?.is === 'canner';

/** Products whose jars come off this station and go to a canner next, when `productId` is done. */
export function filledHere(view, productId, stationId) {
  return waysOn(view, productId, stationId)
    .filter((way) => isCanner(view, way.station))
    .map((way) => way.product)
    .filter((id) => view.products?.[id]?.ends_in?.as === 'canned');
}

const COUNTED = ['piece', 'jar', 'bag', 'tub'];

/** Whether freezer packages of a product are filled at this station. */
export function packsToFreeze(view, productId, stationId) {
  const product = view.products?.[productId];
  const here = stepAt(view, productId, stationId);
  if (!product?.freezing || !here || COUNTED.includes(here.measure)) return false;
  const next = product.route[product.route.findIndex((step) => step.station === stationId) + 1];
  return COUNTED.includes(next ? next.measure : product.package);
}

/** The canner station on a product's way, or null. */
export function cannerOn(view, route) {
  return (route ?? []).map((step) => step.station).find((id) => isCanner(view, id)) ?? null;
}

/** Whether a product stands at a station behind its canner: there the seal check comes next. */
export function isBehindCanner(view, productId, stationId) {
  const product = view.products?.[productId];
  if (product?.ends_in?.as !== 'canned' || !stepAt(view, productId, stationId)) return false;
  const stations = product.route.map((step) => step.station);
  const canner = stations.findIndex((id) => isCanner(view, id));
  return canner >= 0 && stations.indexOf(stationId) > canner;
}

/** How a load is heated, as far as words differ: "boil", "steam" or "pressure". */
export function heatOf(method) {
  if (method?.startsWith('pressure')) return 'pressure';
  return method === 'steam' ? 'steam' : 'boil';
}

/** The words' kind of heat for a load. */
export function heatOfLoad(view, load) {
  const method = load.process?.tested?.method ?? view.stations?.[load.station]?.nature?.method;
  return load.process?.tested?.psi === undefined ? heatOf(method) : 'pressure';
}

/** What has not been said yet of filled jars: `[{product, acid, sterile}]`, amounts. */
export function unconfirmedAt(view, stationId) {
  return entriesOf(view.stations?.[stationId]?.waiting)
    .map(([product]) => ({ product, ...view.products?.[product]?.unconfirmed }))
    .filter(({ acid, sterile }) => acid > 0 || sterile > 0);
}
