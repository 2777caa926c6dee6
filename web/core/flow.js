// Reads the way of the work out of a view: which station follows which, what waits, what was done.
// Pure selections, no words. Invariant: everything returned comes from the view as it stands.

import { isLane, layered } from './graph.js';

/** Entries of a map that may be absent. */
export const entriesOf = (map) => Object.entries(map ?? {});

/** Where work goes on to from a step: `[{product, station}]`, empty when it is finished there. */
export function waysOn(view, productId, stationId) {
  const route = view.products?.[productId]?.route ?? [];
  const index = route.findIndex((step) => step.station === stationId);
  if (index < 0) return [];
  const { onward } = route[index];
  if (onward?.length) return onward.map(({ product, station }) => ({ product, station }));
  const next = route[index + 1];
  return next ? [{ product: productId, station: next.station }] : [];
}

/** The step of a product at a station, or null. */
export function stepAt(view, productId, stationId) {
  const route = view.products?.[productId]?.route ?? [];
  return route.find((step) => step.station === stationId) ?? null;
}

/** Every way from station to station, once: `[{from, to, products}]`. */
export function edgesOf(view) {
  const edges = new Map();
  for (const [productId, product] of entriesOf(view.products)) {
    for (const step of product.route ?? []) {
      for (const way of waysOn(view, productId, step.station)) {
        if (way.station === step.station) continue;
        const key = `${step.station} ${way.station}`;
        const edge = edges.get(key) ?? { from: step.station, to: way.station, products: [] };
        if (!edge.products.includes(productId)) edge.products.push(productId);
        edges.set(key, edge);
      }
    }
  }
  return [...edges.values()].filter(({ from, to }) => view.stations?.[from] && view.stations?.[to]);
}

/** What waits at a station, deepest first: the view's entries with their product id. */
export function waitingAt(station) {
  return entriesOf(station.waiting)
    .map(([product, waiting]) => ({ product, ...waiting }))
    .sort((a, b) => (b.carriers ?? 0) - (a.carriers ?? 0) || (a.product < b.product ? -1 : 1));
}

/** Products whose route passes a station, whether or not anything waits. */
export function productsAt(view, stationId) {
  return entriesOf(view.products)
    .filter(([, product]) => product.route?.some((step) => step.station === stationId))
    .map(([id]) => id);
}

/** Stations a product passes before this one, first to last. */
export function stationsBefore(view, productId, stationId) {
  const route = (view.products?.[productId]?.route ?? []).map((step) => step.station);
  return route.slice(0, Math.max(0, route.indexOf(stationId)));
}

/** Stations in the order the work flows: layer by layer, as drawn. */
export function stationsInOrder(view) {
  const ids = Object.keys(view.stations ?? {}).sort();
  return layered(ids, edgesOf(view)).layers.flatMap((layer) => layer.filter((id) => !isLane(id)));
}

const COUNTED = ['piece', 'jar', 'bag', 'tub'];

/** What done work is counted in after a step; null where it goes off all routes. */
export function measureAfter(view, productId, stationId) {
  const [way] = waysOn(view, productId, stationId);
  if (way) return stepAt(view, way.product, way.station)?.measure ?? null;
  return view.products?.[productId]?.package ?? null;
}

/** Whether so much can be tallied: half a jar cannot, half a bowl can. */
export function isWholeWork(view, productId, stationId, amount) {
  const step = stepAt(view, productId, stationId);
  if (!step || amount <= 0) return false;
  const { made, from } = step.yields ?? { made: 1000, from: 1000 };
  if (COUNTED.includes(step.measure) && amount % 1000 !== 0) return false;
  return (
    !COUNTED.includes(measureAfter(view, productId, stationId)) ||
    Math.floor((amount * made) / from) % 1000 === 0
  );
}

/** Whether a product may hold a produce. */
export const mayHold = (product, produce) =>
  product.produce === produce || (product.also_of ?? []).includes(produce);

/** What can be made of a lot: products that may hold its produce. */
export function productsFor(view, lot) {
  return entriesOf(view.products)
    .filter(([, product]) => mayHold(product, lot.produce) && product.route?.length)
    .map(([id]) => id);
}

/** Whether boxes are still closed whose produce may come by a station. */
export function boxesMayCome(view, stationId) {
  const here = new Set(productsAt(view, stationId));
  return entriesOf(view.lots).some(
    ([, lot]) => lot.unopened > 0 && productsFor(view, lot).some((id) => here.has(id)),
  );
}

/**
 * Progress by what packages are counted in: `[{kind, finished, cooling, wanted}]` in thousandths.
 */
export function progressOf(view) {
  const sums = new Map();
  for (const [, product] of entriesOf(view.products)) {
    if (!product.package) continue;
    const jar = product.ends_in?.as === 'canned' ? product.ends_in.jar : null;
    const key = jar ?? product.package;
    const sum = sums.get(key) ?? { kind: key, finished: 0, cooling: 0, wanted: 0 };
    sum.finished += product.finished ?? 0;
    sum.cooling += product.cooling ?? 0;
    sum.wanted += product.wanted ?? 0;
    sums.set(key, sum);
  }
  return [...sums.values()].filter((sum) => sum.wanted > 0 || sum.finished > 0 || sum.cooling > 0);
}

/**
 * Progress of each product that ends in packages: `[{id, kind, finished, cooling, wanted}]` in
 * thousandths; what nobody planned is wanted as far as the outlook sees it made.
 */
export function progressByProduct(view, outlook) {
  return entriesOf(view.products)
    .filter(([, product]) => product.package && product.ends_in?.as !== 'stocked')
    .map(([id, product]) => {
      const expected = Math.round(outlook?.products?.[id]?.made_p50 ?? 0) * 1000;
      const jar = product.ends_in?.as === 'canned' ? product.ends_in.jar : null;
      return {
        id,
        kind: jar ?? product.package,
        finished: product.finished ?? 0,
        cooling: product.cooling ?? 0,
        wanted: product.wanted || expected,
      };
    })
    .filter((one) => one.wanted > 0 || one.finished > 0 || one.cooling > 0);
}

/** The canners of a station with the load that is in each now: `[{id, canner, loadId, load}]`. */
export function cannersAt(view, stationId) {
  return entriesOf(view.stations?.[stationId]?.canners).map(([id, canner]) => {
    const load = canner.load ? view.loads?.[canner.load] : undefined;
    return { id, canner, loadId: load ? canner.load : null, load: load ?? null };
  });
}

/** Loads that are in a canner of this station now. */
export const loadsAt = (view, stationId) => cannersAt(view, stationId).filter(({ load }) => load);
