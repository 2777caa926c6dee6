// The day on paper: for each station what it needs to go on without any screen, and how many boxes
// to strike. Pure. Invariants: every station has one sheet, in the order of the work; an amount on
// a sheet is the plan's own; what is typed back is typed by the same rows.

import { cautionsFor } from './cautions.js';
import { entriesOf, productsAt, stationsInOrder, stepAt, waysOn } from './flow.js';
import { isBehindCanner } from './process.js';

/** Boxes for more carriers than are reckoned: two in ten. Common practice, no source. */
const MORE = 1.2;
/** Boxes where nothing says how much is wanted, and the fewest. Common practice, no source. */
const USUAL = 40;
const FEWEST = 10;
/** Boxes that fit on the page of one station beside the rest. */
const PAGE_HOLDS = 190;
/** Routes are short; a plan that leads round in a circle ends here. */
const DEEPEST = 40;

/** What must come to a step so that the packages wanted come of it, in its measure; null unknown. */
function neededAt(view, product, station, depth = 0) {
  const route = view.products?.[product]?.route ?? [];
  const step = stepAt(view, product, station);
  if (!step || depth > DEEPEST) return null;
  const { made, from } = step.yields ?? { made: 1000, from: 1000 };
  if (made <= 0) return null;
  const last = route.at(-1)?.station === station && !step.onward?.length;
  const ways = waysOn(view, product, station);
  const parts = last
    ? [view.products[product].wanted ?? null]
    : ways.map((way) => neededAt(view, way.product, way.station, depth + 1));
  const known = parts.filter((one) => one !== null);
  if (!known.length) return null;
  return Math.ceil((known.reduce((sum, one) => sum + one, 0) * from) / made);
}

/** Carriers to come, in whole ones; null where nothing says it. */
export function carriersWanted(view, product, station) {
  const needed = neededAt(view, product, station);
  const step = stepAt(view, product, station);
  return needed === null || !step ? null : Math.ceil(needed / step.carrier.holds);
}

/** Where a product's work comes from at a station: the stations before it, or boxes. */
function comesFrom(view, product, station) {
  const from = entriesOf(view.products).flatMap(([id, one]) =>
    (one.route ?? [])
      .filter((step) =>
        waysOn(view, id, step.station).some(
          (way) => way.product === product && way.station === station,
        ),
      )
      .map((step) => step.station),
  );
  return [...new Set(from)];
}

/** What is struck at a station, a row for each product and each way on from it. */
export function rowsAt(view, station) {
  return productsAt(view, station).flatMap((product) => {
    const step = stepAt(view, product, station);
    const ways = waysOn(view, product, station);
    const one = {
      product,
      step,
      from: comesFrom(view, product, station),
      wanted: carriersWanted(view, product, station),
    };
    // A way that splits is struck for each of its branches.
    return ways.length > 1
      ? ways.map((to) => ({ ...one, to, ways: [to], key: `${product}>${to.product}/${to.station}` }))
      : [{ ...one, to: null, ways, key: product }];
  });
}

/** How a station is kept on paper: "count", "pots", "loads", "seals". */
export function kindOf(view, station) {
  const { is } = view.stations[station].nature;
  if (is === 'canner') return 'loads';
  if (is === 'vessel') return 'pots';
  const products = productsAt(view, station);
  return products.length > 0 && products.every((id) => isBehindCanner(view, id, station))
    ? 'seals'
    : 'count';
}

const boxesFor = (wanted, most) =>
  Math.max(FEWEST, Math.min(most, wanted === null ? USUAL : Math.ceil(wanted * MORE)));

/** How many loads the jars wanted fill, by the smallest canner. */
function loadsWanted(view, station, rows) {
  const canners = Object.values(view.stations[station].nature.canners ?? {});
  const loads = rows.map(({ product, wanted }) => {
    const jar = view.products[product]?.ends_in?.jar;
    const holds = canners.map((one) => one.holds?.[jar]).filter(Boolean);
    return wanted === null || !holds.length ? 0 : Math.ceil(wanted / Math.min(...holds));
  });
  return loads.reduce((sum, one) => sum + one, 0);
}

/** Lines for so many loads, and some for what goes otherwise. */
const LINES = { least: 4, more: 2, most: 8 };

/** A sheet for each station: `[{id, station, kind, cautions, rows, lines}]`. */
export function sheetsOf(view) {
  return stationsInOrder(view).map((id) => {
    const rows = rowsAt(view, id);
    const most = Math.floor(PAGE_HOLDS / Math.max(1, rows.length));
    const loads = loadsWanted(view, id, rows);
    return {
      id,
      station: view.stations[id],
      kind: kindOf(view, id),
      cautions: cautionsFor(view, id),
      rows: rows.map((row) => ({ ...row, boxes: boxesFor(row.wanted, most) })),
      lines: Math.min(LINES.most, Math.max(LINES.least, loads + LINES.more)),
    };
  });
}
