// What takes a lead's order back: the orders that bring things to where they stood. Pure.
// Invariant: what others did in between is kept; where nothing can be taken back exactly, nothing
// is offered (then the thing itself has its correction: a recount, an undo of its own).

import {
  helperPlan,
  lotPlan,
  productPlan,
  resourcePlan,
  stationPlan,
  supplyPlan,
} from './plan.js';

const THINGS = {
  station: ['stations', stationPlan],
  helper: ['helpers', helperPlan],
  product: ['products', productPlan],
  lot: ['lots', lotPlan],
  supply: ['supplies', supplyPlan],
  resource: ['resources', resourcePlan],
};

/** Where somebody sat before, as the order that seats them there again; null when nowhere. */
function seatAgain(before, helper, order = 'claim') {
  const station = before.helpers?.[helper]?.station;
  if (!station) return null;
  const beside = before.stations?.[station]?.seated?.[helper]?.beside;
  return { order, helper, station, ...(beside && { beside }) };
}

const besideBefore = (before, helper) =>
  before.stations?.[before.helpers?.[helper]?.station]?.seated?.[helper]?.beside;

const PEOPLE = {
  claim: (_, { helper }) => [{ order: 'leave', helper }],
  leave: (before, { helper }) => [seatAgain(before, helper)],
  switch: (before, { helper }) => [seatAgain(before, helper, 'switch')],
  swap(before, { one, other }) {
    const [mine, theirs] = [besideBefore(before, one), besideBefore(before, other)];
    const beside = { ...(mine && { beside_one: mine }), ...(theirs && { beside_other: theirs }) };
    return [{ order: 'swap', one, other, ...beside }];
  },
  arrive: (_, { helper }) => [{ order: 'go-home', helper }],
  'go-home': (before, { helper }) => [{ order: 'arrive', helper }, seatAgain(before, helper)],
  'take-break': (before, { helper }) => [
    { order: 'end-break', helper },
    seatAgain(before, helper),
  ],
  'end-break': (_, { helper }) => [{ order: 'take-break', helper }],
  'stay-beside'(before, { helper }) {
    const adult = besideBefore(before, helper);
    return [adult && { order: 'stay-beside', helper, adult }];
  },
};

const STOCK = {
  restock: (_, { supply, amount }, now) => counted(supply, now.supplies?.[supply]?.stock - amount),
  'recount-supply': (before, { supply, amount }, now) =>
    counted(supply, now.supplies?.[supply]?.stock + before.supplies?.[supply]?.stock - amount),
  recount(before, { station, product, lot, amount }, now) {
    const there = (view) => view.stations?.[station]?.waiting?.[product]?.lots?.[lot] ?? 0;
    const again = there(now) + there(before) - amount;
    return again < 0 ? [] : [{ order: 'recount', station, product, lot, amount: again }];
  },
};

const BOXES = {
  'open-box'(before, { lot, product, amount }) {
    const { box_holds: holds, unopened } = before.lots?.[lot] ?? {};
    const opened = amount ?? Math.min(holds, unopened);
    return opened > 0 ? [{ order: 'close-box', lot, product, amount: opened }] : [];
  },
  'close-box': (_, command) => [{ ...command, order: 'open-box' }],
};

const counted = (supply, amount) =>
  amount >= 0 ? [{ order: 'recount-supply', supply, amount }] : [];

const pickHave = (found) => found && { have: found.have };

const KITCHEN = {
  'set-up': (_, { station, instead_of: instead }) => [
    instead
      ? { order: 'set-up', station: instead, instead_of: station }
      : { order: 'put-away', station },
  ],
  'put-away': (_, { station }) => [{ order: 'set-up', station }],
  'change-day'(before, command) {
    const members = Object.keys(command).filter((one) => one !== 'order');
    // What was not given before cannot be made not given again.
    if (members.some((one) => before.day?.[one] === undefined)) return [];
    const old = Object.fromEntries(members.map((one) => [one, before.day[one]]));
    return [{ order: 'change-day', ...old }];
  },
  'set-age-rules': (before) => [
    before.day?.age_rules && { order: 'set-age-rules', rules: before.day.age_rules },
  ],
  'put-resource'(before, { resource }) {
    const old = before.resources?.[resource];
    return [
      old
        ? { order: 'put-resource', resource, plan: resourcePlan(old) }
        : { order: 'retire-resource', resource },
    ];
  },
  'retire-resource': (before, { resource }) => [
    { order: 'put-resource', resource, plan: resourcePlan(before.resources[resource]) },
  ],
  gather: (before, { item }) => [
    { order: 'gather', item, ...pickHave(before.gathered?.[item]) },
  ],
  'raise-chore': (_, { chore }) => [{ order: 'finish-chore', chore }],
  'fill-pot': (_, { station, pot }) => [{ order: 'empty-pot', station, pot }],
  'hand-over-pot'(before, { station, pot }) {
    const { minder, backup } = before.stations?.[station]?.pots?.[pot] ?? {};
    const same = { order: 'hand-over-pot', station, pot };
    return [minder && { ...same, minder, ...(backup && { backup }) }];
  },
  'build-load': (_, { load }) => [{ order: 'cancel-load', load }],
};

const NAMED = /^(add|change|retire)-(station|helper|product|lot|supply)$/;

function ofThing(before, command) {
  const [, verb, kind] = NAMED.exec(command.order) ?? [];
  if (!verb) return [];
  const id = command[kind];
  if (verb === 'add') return [{ order: `retire-${kind}`, [kind]: id }];
  const [map, planOf] = THINGS[kind];
  const old = before[map]?.[id];
  if (!old) return [];
  if (verb === 'change') return [{ order: command.order, [kind]: id, plan: planOf(old) }];
  return [{ order: `add-${kind}`, [kind]: another(id), plan: planOf(old) }];
}

/** Ids of what was taken off the list stay used. */
const another = (id) => `${id.slice(0, 38)}-b`;

/**
 * The orders that take `command` back, first to last; empty where nothing does. `before` is the
 * view as it stood when the order was given, `now` as it stands.
 */
export function reverseOf(before, command, now = before) {
  const made = { ...PEOPLE, ...STOCK, ...BOXES, ...KITCHEN }[command.order] ?? ofThing;
  return made(before, command, now).filter(Boolean);
}
