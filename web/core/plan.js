// Turns what a view shows of a thing back into its plan, for changing it, and fills in good
// defaults for new things. Pure. Invariant: a plan holds exactly the members the server accepts.

const present = (entries) => Object.fromEntries(entries.filter(([, value]) => value !== undefined));

/** Picks the named members that are there. */
const picked = (from, names) => present(names.map((name) => [name, from[name]]));

/** The plan of a station in a view. */
export const stationPlan = (station) =>
  picked(station, ['name', 'work', 'nature', 'seats', 'needs', 'occupies', 'set_up']);

/** The plan of a helper in a view. */
export const helperPlan = (helper) => ({
  ...picked(helper, ['name', 'sign', 'age', 'limits', 'likes']),
  here: helper.presence !== 'expected',
});

/** The plan of a product in a view. */
export const productPlan = (product) =>
  picked(product, ['name', 'produce', 'also_of', 'ends_in', 'route', 'wanted']);

/** The plan of a lot in a view. */
export const lotPlan = (lot) => picked(lot, ['name', 'produce', 'measure', 'amount', 'box_holds']);

/** The plan of a supply in a view. */
export const supplyPlan = (supply) => ({
  ...picked(supply, ['name', 'unit', 'low_at']),
  stock: supply.began_with ?? supply.stock,
});

/** The plan of a shared thing in a view. */
export const resourcePlan = (resource) => picked(resource, ['name', 'count']);

/** What each kind of work usually asks of people; the lead can change it. */
const USUAL_NEEDS = {
  wash: [],
  scald: ['heat'],
  peel: ['blade'],
  slice: ['blade'],
  cook: ['heat'],
  strain: ['heat'],
  fill: ['heat'],
  process: ['heat', 'lifting'],
  cool: [],
  bag: [],
  freeze: [],
  clean: [],
  other: [],
};
/** How each kind of work is usually done. */
const USUAL_NATURE = { cook: 'vessel', process: 'canner', cool: 'hold', freeze: 'hold' };

/** Stir intervals in minutes: common practice, no source. */
export const STIR_USUAL = { thin_min: 18, half_min: 10, thick_min: 4 };

/** A nature with its usual members. */
export function natureOf(is) {
  if (is === 'vessel') {
    return {
      is,
      stir: STIR_USUAL,
      pots: { 'pot-1': { name: 'Pot 1', takes: { lb: 20000, qt: 10000 } } },
    };
  }
  if (is === 'canner')
    return {
      is,
      method: 'boiling-water',
      canners: { 'canner-1': { name: 'Canner 1', holds: { quart: 7, pint: 9 } } },
    };
  return { is };
}

/** A new station for a kind of work. */
export function newStation(work) {
  return {
    name: '',
    work,
    nature: natureOf(USUAL_NATURE[work] ?? 'hand'),
    seats: 2,
    needs: USUAL_NEEDS[work] ?? [],
    occupies: {},
    set_up: true,
  };
}

/** A new step at a station: the usual carrier of the measure. */
export function newStep(station, measure) {
  const carriers = {
    jar: ['jar', 1000],
    bag: ['bag', 1000],
    tub: ['tub', 1000],
    qt: ['pot', 4000],
  };
  const [name, holds] = carriers[measure] ?? ['bowl', 2500];
  return { station, measure, carrier: { name, holds } };
}
