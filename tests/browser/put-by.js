// A day after its seal check: jars of two loads on the shelf, in the cold, in the bin and still on
// the rack, and tubs in the freezer. Not for what is seen on screens.

import { until } from './stage.js';

const JARS = 'pears-quart';
const filled = (product, lot, amount) => ({ order: 'recount', station: 'canners', product, lot, amount });

const load = (id, canner, jars) => [
  { order: 'build-load', load: id, station: 'canners', canner, jars, mixed: true },
  { order: 'heat-load', load: id },
  { order: 'rolling-boil', load: id },
];

/** The first part: two loads boil. */
export const BOILING = [
  filled(JARS, 'pears-hill', 7000),
  filled('peaches-pint', 'peaches-south', 6000),
  ...load('first', 'a', [{ product: JARS, jars: 5 }, { product: 'peaches-pint', jars: 2 }]),
  ...load('second', 'b', [{ product: JARS, jars: 2 }, { product: 'peaches-pint', jars: 4 }]),
];

/** The clock of the board. */
const clock = async (stage) => (await (await fetch(`${stage.base}/api/me`)).json()).clock.now;

/** Lets time pass by starting the board anew at another speed. */
async function passUntil(stage, moment, speed) {
  await stage.end();
  await stage.startAgain(speed);
  await until(async () => (await clock(stage)) > moment, 'time to pass');
  await stage.end();
  await stage.startAgain(1);
}

/** Takes the stage there. */
export async function putBy(stage) {
  const loads = async () => (await stage.view()).loads;
  await passUntil(stage, Math.max(...Object.values(await loads()).map((one) => one.done_at)), 300);
  for (const id of ['first', 'second']) await stage.order({ order: 'heat-off', load: id });
  await passUntil(stage, Math.max(...Object.values(await loads()).map((one) => one.rest_until)), 100);
  for (const id of ['first', 'second']) await stage.order({ order: 'lift-load', load: id });
  const due = Math.max(...Object.values(await loads()).map((one) => one.seals_from));
  await passUntil(stage, due, 3600);
  const jars = [
    { product: JARS, sealed: 4, refrigerated: 1 },
    { product: 'peaches-pint', sealed: 1, broken: 1 },
  ];
  await stage.order({ order: 'check-seals', load: 'first', jars });
  await stage.order({
    order: 'check-seals',
    load: 'second',
    jars: [{ product: 'peaches-pint', sealed: 3, frozen: 1 }],
  });
}

/** The lots of the day, by code, as the board tells them. */
export const lotsOf = async (stage) =>
  (await stage.lead.get(`/api/days/${stage.day}/lots`)).lots;
