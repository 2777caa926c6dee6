// The draft of what to make: what is asked, kept and changed; which words say why. Pure.
// Invariant: a draft is never thrown away for being unfinished; what is asked of the server is whole.

import { momentOn } from './format.js';
import { idFrom } from './protocol.js';

const START = '08:00';
const CUT = '17:00';

/** An empty draft on a civil date: usual jars, one canner, nothing in the house yet. */
export function newDraft(date) {
  const jar = (size) => ({ container: { is: 'jar', jar: size }, stock: {} });
  return {
    start: START,
    cut: CUT,
    ask: {
      name: '',
      date,
      there_is: { 'lot-1': { produce: '', amount: undefined, unit: 'box' } },
      uses: { 'use-1': newUse() },
      packages: {
        'half-pint-jars': jar('half-pint'),
        'pint-jars': jar('pint'),
        'quart-jars': jar('quart'),
      },
      lids: {},
      kitchen: {
        canners: {
          'canner-1': {
            name: '',
            method: 'boiling-water',
            holds: { 'half-pint': 9, pint: 9, quart: 7 },
          },
        },
        pots: {},
        burners: 4,
      },
      helpers: {},
    },
  };
}

/** A use to be filled in. */
export const newUse = () => ({
  name: '',
  produce: '',
  keep: 'either',
  unit: 'cup',
  times: 1000,
  per: 'week',
  weeks: 40000,
});

/** The draft that was kept as text; a new one where there is none or it cannot be read. */
export function keptDraft(text, date) {
  try {
    const kept = JSON.parse(text);
    if (kept?.ask?.there_is && kept.ask.uses && kept.ask.packages && kept.ask.kitchen) return kept;
  } catch {
    /* What cannot be read was not written by this program. */
  }
  return newDraft(date);
}

/** The draft with one thing changed; `undefined` takes it away. */
export function put(draft, [first, ...rest], value) {
  const copy = { ...draft };
  if (rest.length) copy[first] = put(draft?.[first] ?? {}, rest, value);
  else if (value === undefined) delete copy[first];
  else copy[first] = value;
  return copy;
}

/** An id that the map does not have: "lot-3". */
export function freeId(map, stem) {
  for (let n = 1; ; n += 1) if (!(`${stem}-${n}` in (map ?? {}))) return `${stem}-${n}`;
}

const NEEDED = {
  there_is: ['produce', 'amount'],
  uses: ['name', 'produce', 'amount', 'times', 'weeks'],
  helpers: ['name', 'age'],
};

const isThere = (value) =>
  typeof value === 'string' ? value.trim() !== '' : value !== undefined && value !== null;

/** What must be filled in before anything can be worked out: `[part, id, field]`, first first. */
export function missing({ ask }) {
  const found = [];
  for (const [part, fields] of Object.entries(NEEDED))
    for (const [id, one] of Object.entries(ask[part] ?? {}))
      for (const field of fields) if (!isThere(one[field])) found.push([part, id, field]);
  for (const [id, { container }] of Object.entries(ask.packages))
    if (container.is !== 'jar' && !container.holds) found.push(['packages', id, 'holds']);
  for (const [id, pot] of Object.entries(ask.kitchen.pots))
    if (!pot.quarts) found.push(['pots', id, 'quarts']);
  for (const part of ['there_is', 'uses', 'packages'])
    if (!Object.keys(ask[part] ?? {}).length) found.push([part, null, null]);
  return found;
}

/** People under an id of their name, so that what was learned of them on other days is found. */
const byName = (helpers) => {
  const found = {};
  for (const one of Object.values(helpers)) {
    const id = idFrom(one.name ?? '', Object.keys(found), 'helper');
    found[id] = { ...one, name: one.name?.trim() };
  }
  return found;
};

/** What is asked of the server. Names that were left out are given: `named(kind, number)`. */
export function askOf({ ask, start, cut }, named) {
  const eachNamed = (map, kind) =>
    Object.fromEntries(
      Object.entries(map).map(([id, one], n) => [
        id,
        { ...one, name: one.name?.trim() || named(kind, n + 1) },
      ]),
    );
  const startAt = momentOn(ask.date, start);
  const cutAt = momentOn(ask.date, cut);
  return {
    ...ask,
    name: ask.name?.trim() || named('day', 1),
    helpers: byName(ask.helpers ?? {}),
    kitchen: {
      ...ask.kitchen,
      canners: eachNamed(ask.kitchen.canners, 'canner'),
      pots: eachNamed(ask.kitchen.pots, 'pot'),
    },
    ...(startAt !== undefined && { start_at: startAt }),
    ...(cutAt !== undefined && { cut_off_at: cutAt }),
  };
}

/** Which of a kind's lines are shown at once (something is made, or settled), and which only if asked. */
export function linesOf(proposal, useId) {
  const all = (proposal?.lines ?? []).filter((line) => line.use === useId);
  const now = all.filter((line) => line.packages > 0 || line.pinned);
  return { now, others: all.filter((line) => !now.includes(line)) };
}

/** Which sentence says how the packages of a line serve. */
export function servesKey(line) {
  if (line.opened > 1) return 'prepare.serves-several';
  return line.serves_each > 1 ? 'prepare.serves-shared' : 'prepare.serves-one';
}

/** What is not offered, each reason of a use once, with the packages it is about. */
export function notOffered(proposal) {
  const found = new Map();
  for (const one of proposal?.not_offered ?? []) {
    const key = `${one.use} ${one.code} ${one.field}`;
    const had = found.get(key) ?? { ...one, packages: [] };
    if (one.package) had.packages.push(one.package);
    found.set(key, had);
  }
  return [...found.values()];
}

/** Additions worth saying: minutes that one thing more would save or cost, the most first. */
export const worthwhile = (ahead) =>
  [...(ahead?.one_more ?? [])].sort((a, b) => b.gain_min - a.gain_min);

/** A use for the draft out of what a season taught of a product; its produce is left to be said. */
export function useOfSeason(told, weeks) {
  const { jar, holds } = told.package;
  const quarts = { 'half-pint': 250, pint: 500, quart: 1000, 'half-gallon': 2000 }[jar];
  const amount = quarts ?? (holds?.measure === 'qt' ? holds.amount : undefined);
  return {
    ...newUse(),
    name: told.name,
    keep: jar ? 'shelf' : 'freezer',
    ...(amount && { amount }),
    unit: 'quart',
    times: Math.max(1, Math.round((told.for_season * 1000000) / weeks)),
    per: 'week',
    weeks,
  };
}
