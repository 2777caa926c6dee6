// What was struck on paper, typed back in: which orders bring the board to the same counts, what
// each changes, and what does not add up. Pure. Invariants: nothing is made up, a count that could
// not have come that way is put right by an open recount and said; jars whose boil the board did not
// see never come out of a canner by typing; an order keeps its id from the first look to the answer.

import { entriesOf, mayHold, stationsInOrder, stepAt, waysOn } from './flow.js';
import { parsedAmount } from './format.js';
import { kindOf, rowsAt } from './paper.js';

/** The longest note the board takes. */
const NOTE_MOST = 280;

/** The stations at which counts are typed, in the order of the work: `[{id, kind, rows}]`. */
export function typedStations(view) {
  return stationsInOrder(view)
    .map((id) => ({ id, kind: kindOf(view, id), rows: rowsAt(view, id) }))
    .filter(({ kind, rows }) => rows.length > 0 && kind !== 'seals');
}

/** Lots that a product may be made of. */
export const lotsFor = (view, product) =>
  entriesOf(view.lots)
    .filter(([, lot]) => mayHold(view.products[product] ?? {}, lot.produce))
    .map(([id]) => id);

/** What waits where, by lot, as far as the typed counts have brought it. */
class Standing {
  constructor(view) {
    this.view = view;
    this.at = new Map();
    for (const [station, { waiting }] of entriesOf(view.stations))
      for (const [product, { lots }] of entriesOf(waiting))
        for (const [lot, amount] of entriesOf(lots)) this.put({ product, station }, lot, amount);
  }
  lots({ product, station }) {
    const key = `${station}/${product}`;
    if (!this.at.has(key)) this.at.set(key, new Map());
    return this.at.get(key);
  }
  put(place, lot, amount) {
    const lots = this.lots(place);
    lots.set(lot, (lots.get(lot) ?? 0) + amount);
  }
  of(place, lot) {
    const lots = this.lots(place);
    return lot ? (lots.get(lot) ?? 0) : [...lots.values()].reduce((sum, one) => sum + one, 0);
  }
  /** Takes so much, of the lot or of all in turn: `[{lot, amount}]`. */
  take(place, amount, lot) {
    const lots = this.lots(place);
    const taken = [];
    let left = amount;
    for (const one of lot ? [lot] : [...lots.keys()]) {
      const some = Math.min(left, lots.get(one) ?? 0);
      if (some > 0) {
        lots.set(one, lots.get(one) - some);
        taken.push({ lot: one, amount: some });
        left -= some;
      }
    }
    return taken;
  }
}

const onward = (step, amount) => {
  const { made, from } = step.yields ?? { made: 1000, from: 1000 };
  return Math.floor((amount * made) / from);
};

/** The lot that most of what waits there is of, or the first the product may be made of. */
function usualLot(view, standing, place) {
  const here = [...standing.lots(place)].sort((a, b) => b[1] - a[1])[0];
  return here?.[1] > 0 ? here[0] : (lotsFor(view, place.product)[0] ?? null);
}

/** A typed count in thousandths of carriers; undefined while empty, null when it is none. */
export const countOf = (text) =>
  String(text ?? '').trim() === '' ? undefined : parsedAmount(text);

/**
 * The orders for a draft `{boxes, counts, notes}`: `boxes[lot/product]` and
 * `counts[station][row][n]` = `{count, lot, helper, from, to}` with `count` as typed;
 * `notes[station]` words of the canner's sheet. Gives `{steps, faults}`; a step is
 * `{command, key, says, ...}` whose `key` is the same for the same order.
 */
export function ordersOf(view, draft) {
  const steps = [];
  const faults = [];
  const standing = new Standing(view);
  const add = (command, key, says) => steps.push({ command, key, ...says });

  for (const [key, text] of entriesOf(draft.boxes)) {
    const [lot, product] = key.split('/');
    const plan = view.lots?.[lot];
    const first = view.products?.[product]?.route?.[0];
    const count = countOf(text);
    if (count === undefined || !plan || !first) continue;
    const amount = count === null ? null : Math.round((count * plan.box_holds) / 1000);
    if (amount === null) faults.push({ is: 'no-count', lot, product });
    else if (amount > plan.unopened)
      faults.push({ is: 'boxes', lot, product, amount, there: plan.unopened, measure: plan.measure });
    else if (amount > 0) {
      add({ order: 'open-box', lot, product, amount }, `box/${key}`, { says: 'box', lot, product });
      standing.put({ product, station: first.station }, lot, amount);
    }
  }

  for (const { id: station, kind, rows } of typedStations(view)) {
    const said = [];
    for (const row of rows) {
      const place = { product: row.product, station };
      const typed = draft.counts?.[station]?.[row.key] ?? [];
      typed.forEach((line, n) => {
        const count = countOf(line.count);
        if (count === undefined) return;
        if (count === null) faults.push({ is: 'no-count', ...place });
        else if (count > 0) take(row, place, kind, line, count, `${station}/${row.key}/${n}`);
        if (count > 0) said.push({ ...line, row, amount: count });
      });
    }
    const words = draft.notes?.[station]?.trim();
    if (said.length || words) steps.push(...notesOf(station, said, words));
  }
  return { steps, faults };

  function take(row, place, kind, line, count, key) {
    if (kind === 'loads') return;
    const { step } = row;
    const lot = line.lot || undefined;
    const amount = Math.round((count * step.carrier.holds) / 1000);
    const there = standing.of(place, lot);
    if (amount > there) putRight(place, lot, amount, there, key);
    const way = row.to ?? waysOn(view, place.product, place.station)[0] ?? null;
    const parts = standing.take(place, amount, lot);
    const says = { says: kind === 'pots' ? 'pot' : 'tally', ...place, count, amount, way };
    if (kind === 'pots') pots(place, parts, step, way, key, says);
    else {
      const to = row.to && { to: { product: row.to.product, station: row.to.station } };
      add({ order: 'tally', ...place, ...(lot && { lot }), amount, ...to }, `tally/${key}`, says);
      for (const part of parts) if (way) standing.put(way, part.lot, onward(step, part.amount));
    }
  }

  /** More was struck than could have come: what was there is put right first, openly. */
  function putRight(place, wish, amount, there, key) {
    const lot = wish ?? usualLot(view, standing, place);
    if (!lot) return faults.push({ is: 'no-lot', ...place });
    const now = standing.of(place, lot) + amount - there;
    faults.push({ is: 'more', ...place, amount, there });
    add({ order: 'recount', ...place, lot, amount: now }, `more/${key}`, {
      says: 'recount',
      ...place,
      lot,
      amount: now,
    });
    standing.put(place, lot, amount - there);
    return null;
  }

  /** Nobody knows when a pot on paper cooked: what it took and made is recounted, not cooked. */
  function pots(place, parts, step, way, key, says) {
    for (const part of parts) {
      const left = standing.of(place, part.lot);
      add({ order: 'recount', ...place, lot: part.lot, amount: left }, `pot/${key}/${part.lot}`, says);
      if (!way) continue;
      standing.put(way, part.lot, onward(step, part.amount));
      const now = standing.of(way, part.lot);
      const came = { says: 'came', ...way, lot: part.lot, amount: now };
      add({ order: 'recount', ...way, lot: part.lot, amount: now }, `came/${key}/${part.lot}`, came);
    }
  }

  /** Who struck what and when, and what the canner's sheet says: kept as notes of the station. */
  function notesOf(station, said, words) {
    const name = (id) => view.helpers?.[id]?.name ?? '';
    const lines = said
      .filter(({ helper, from, to }) => helper || from || to)
      .map(({ helper, from, to, row, amount }) => {
        const when = from || to ? ` ${from || '…'}–${to || '…'}` : '';
        const what = `${amount / 1000} ${row.step.carrier.name}, ${view.products[row.product].name}`;
        return `${name(helper)}${when}: ${what}`.trim();
      });
    if (words) lines.push(words);
    return packed(lines).map((text, n) => ({
      command: { order: 'note', on: { about: 'station', id: station }, text },
      key: `note/${station}/${n}`,
      says: 'note',
      station,
      text,
    }));
  }
}

/** Lines put together into texts that are not too long for a note. */
function packed(lines) {
  const texts = [];
  for (const line of lines.map((one) => one.slice(0, NOTE_MOST))) {
    const last = texts.at(-1);
    if (last !== undefined && last.length + line.length + 2 <= NOTE_MOST)
      texts[texts.length - 1] = `${last}; ${line}`;
    else texts.push(line);
  }
  return texts;
}

/** Sums for the eye: what was struck at each station and product, `[{station, product, count}]`. */
export function sumsOf(view, draft) {
  return typedStations(view).flatMap(({ id: station, rows }) =>
    rows
      .map((row) => {
        const counts = (draft.counts?.[station]?.[row.key] ?? []).map((one) => countOf(one.count));
        const count = counts.reduce((sum, one) => sum + (one ?? 0), 0);
        return { station, product: row.product, key: row.key, count };
      })
      .filter(({ count }) => count > 0),
  );
}

/** Steps with the ids they are sent under: those of before keep theirs, others get a new one. */
export function withIds(steps, before, uuid) {
  const known = new Map((before ?? []).map((one) => [one.key, one]));
  return steps.map((step) => {
    const old = known.get(step.key);
    const same = old && JSON.stringify(old.command) === JSON.stringify(step.command);
    return { ...step, id: same ? old.id : uuid(), done: Boolean(same && old.done) };
  });
}

/** Whether the step at a station of a product exists still: a plan may change while paper is typed. */
export const stillThere = (view, { station, product }) =>
  !station || Boolean(product ? stepAt(view, product, station) : view.stations?.[station]);
