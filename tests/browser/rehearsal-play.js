// Plays a few orders on the rehearsal's view, well enough to see the screens move. Anything else is
// acknowledged without effect. Pure: returns the patch and the view it leads to.

import { merged } from '../../web/core/merge.js';

const count = (one, amount) => ({
  amount,
  carriers: Math.floor((amount * 1000) / one.carrier.holds),
});

function tally(view, { station, product, amount, helper }, { now, id }) {
  const here = view.stations[station].waiting[product];
  if (!here)
    return {
      problem: {
        code: 'not-enough',
        detail: 'Nothing of that waits here.',
        instead: 'Recount what is really there.',
      },
    };
  const done = Math.min(here.amount, amount ?? here.carrier.holds);
  const left = here.amount - done;
  const waiting = { [product]: left > 0 ? count(here, left) : null };
  return {
    patch: {
      stations: {
        [station]: {
          waiting,
          undo: { command: id, product, amount: done, at: now, ...(helper && { helper }) },
        },
      },
    },
  };
}

function seat(view, { helper, station, beside }, { now }) {
  const from = view.helpers[helper].station;
  if (view.stations[station].free < 1)
    return {
      problem: {
        code: 'seat-taken',
        detail: 'Every seat there is taken.',
        instead: 'Choose another station, or ask for a swap.',
      },
    };
  const stations = {
    [station]: {
      seated: { [helper]: { since: now, ...(beside && { beside }) } },
      free: view.stations[station].free - 1,
    },
  };
  if (from) stations[from] = { seated: { [helper]: null }, free: view.stations[from].free + 1 };
  return { patch: { stations, helpers: { [helper]: { station } } } };
}

function leave(view, { helper }, presence) {
  const from = view.helpers[helper].station;
  const stations = from
    ? { [from]: { seated: { [helper]: null }, free: view.stations[from].free + 1 } }
    : {};
  return {
    patch: { stations, helpers: { [helper]: { station: null, ...(presence && { presence }) } } },
  };
}

const PLAYS = {
  tally,
  claim: seat,
  switch: seat,
  leave: (view, order) => leave(view, order),
  'take-break': (view, order) => leave(view, order, 'resting'),
  'go-home': (view, order) => leave(view, order, 'gone'),
  arrive: (view, { helper }) => ({ patch: { helpers: { [helper]: { presence: 'here' } } } }),
  'end-break': (view, { helper }) => ({ patch: { helpers: { [helper]: { presence: 'here' } } } }),
  'undo-tally': (view, { station }) => {
    const { undo } = view.stations[station];
    const one = view.stations[station].waiting[undo.product];
    return {
      patch: {
        stations: {
          [station]: {
            undo: null,
            waiting: { [undo.product]: count(one, one.amount + undo.amount) },
          },
        },
      },
    };
  },
  'set-up': (view, { station, instead_of: instead }) =>
    instead
      ? { patch: { stations: { [station]: { set_up: true }, [instead]: { set_up: false } } } }
      : {
          problem: {
            code: 'resource-busy',
            detail: 'The sink is in use at Wash.',
            instead: 'Put Wash away first, or set this up in its place.',
            offer: { order: 'set-up', station, instead_of: 'wash' },
          },
        },
  'take-chore': (view, { chore, helper }) => ({
    patch: { chores: { [chore]: { taken_by: helper } } },
  }),
  'finish-chore': (view, { chore }) => ({ patch: { chores: { [chore]: null } } }),
  'raise-chore': (view, { chore, text, station }, { now }) => ({
    patch: {
      chores: {
        [chore]: {
          kind: { about: 'asked', name: chore, ...(station && { station }) },
          text,
          raised_at: now,
        },
      },
    },
  }),
  stirred: (view, { station, pot, thickness }, { now }) => ({
    patch: {
      stations: {
        [station]: { pots: { [pot]: { thickness, stirred_at: now, stir_at: now + 10 * 60000 } } },
      },
    },
  }),
  'add-helper': (view, { helper, plan }, { now }) => ({
    patch: {
      helpers: {
        [helper]: {
          ...plan,
          adult: plan.age >= 18,
          presence: 'here',
          since: now,
          beside_of: [],
          may: {},
        },
      },
    },
  }),
};

/** `{patch, view}` or `{problem}`. */
export function played(view, order, moment) {
  const outcome = PLAYS[order.order]?.(view, order, moment) ?? { patch: {} };
  return outcome.problem ? outcome : { patch: outcome.patch, view: merged(view, outcome.patch) };
}
