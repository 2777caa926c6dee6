// The list to gather as it is shown: what the board says is needed, beside what was counted, in
// groups. Pure. Invariant: a thing nobody has looked for is never shown as there or as missing.

const GROUPS = [
  ['kitchen', ['altitude', 'recipe', 'first-aid']],
  ['fruit', ['fruit', 'against-darkening', 'supply']],
  ['jars', ['jars', 'lids', 'bands', 'acid', 'labels']],
  ['canner', ['canner', 'steam-canner', 'dial-gauge', 'weighted-gauge', 'canner-thermometer']],
  ['tools', ['jar-lifter', 'headspace-ruler', 'bubble-tool', 'rim-cloths', 'cooling-place']],
  ['freezer', ['packages', 'freezer-cold', 'freezer-room']],
];
/** One, in thousandths: what a tick counts as. */
export const ONE = 1000;

/** An item with what the view knows of it by now; `need` is one where it is only ticked. */
function seen(item, gathered) {
  const found = gathered?.[item.id];
  const need = item.need ?? ONE;
  const state = !found ? 'open' : found.have < need ? 'short' : 'there';
  return {
    ...item,
    counted: item.need !== undefined,
    need,
    have: found?.have,
    helper: found?.helper,
    state,
    missing: found ? Math.max(0, need - found.have) : null,
  };
}

/** The list in its groups, `[{group, items}]`, without empty ones. */
export function grouped(items, gathered) {
  return GROUPS.map(([group, kinds]) => ({
    group,
    items: items.filter(({ kind }) => kinds.includes(kind)).map((item) => seen(item, gathered)),
  })).filter((one) => one.items.length > 0);
}

/** How many there are, how many are there already, and those of which too little is there. */
export function standing(groups) {
  const all = groups.flatMap((one) => one.items);
  return {
    all: all.length,
    there: all.filter(({ state }) => state === 'there').length,
    open: all.filter(({ state }) => state === 'open').length,
    short: all.filter(({ state }) => state === 'short'),
  };
}

/** What begins the id of the chore that fetches an item, by which it is not raised twice. */
export const choreStart = ({ id }) =>
  `gather-${id.toLowerCase().replace(/[^a-z0-9]+/g, '-').slice(0, 26)}`;

/** Whether a chore for it is open. */
export const isAsked = (view, item) =>
  Object.keys(view.chores ?? {}).some((id) => id.startsWith(`${choreStart(item)}-`));

/** What of the day the list is made of: another text means that it is to be asked for again. */
export function madeOf(view) {
  const part = (map, pick) => Object.entries(map ?? {}).map(([id, one]) => [id, pick(one)]);
  return JSON.stringify([
    view.day?.altitude_ft,
    part(view.products, (one) => [one.name, one.produce, one.ends_in, one.wanted, one.route]),
    part(view.stations, (one) => [one.nature]),
    part(view.lots, (one) => [one.name, one.amount, one.measure]),
    part(view.supplies, (one) => [one.name, one.unit, one.began_with]),
  ]);
}
