// From filled jars to the shelf, by tapping on the lead's tablet: a mixed load is confirmed, timed,
// lifted, cooled, its seals are checked, and what sealed gets its label line.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { becomeLead, box, button, peopleIn, sees, tap } from './person.js';

/** Seconds of the day in a second of the test: the 25 minutes take ten seconds. */
const SPEED = 150;
/** Then the twelve hours of cooling take twelve. */
const COOLING_SPEED = 3600;

const filled = (product, lot, amount) => ({
  order: 'recount',
  station: 'canners',
  product,
  lot,
  amount,
});

test('filled jars become a load, and only what sealed gets to the shelf and its label', async () => {
  const orders = [
    filled('pears-quart', 'pears-hill', 5000),
    filled('peaches-pint', 'peaches-south', 2000),
  ];
  const stage = await orchardStage({ speed: SPEED, orders });
  const people = await peopleIn();
  const load = async () => Object.values((await stage.view()).loads)[0];
  try {
    const { page, faults } = await people.open(stage.home, { size: 'tablet' });
    await becomeLead(page, stage);
    await page.goto(stage.at('lead'));
    await tap(box(page, 'Canners'), /Canners/);

    // Both products share the load only when the lead says so, for the longest time.
    const more = button(page, /^One more: Peach slices, pints/).first();
    const pears = button(page, /^One more: Pear halves, quarts/).first();
    for (const one of [more, more, pears, pears, pears, pears, pears]) {
      if (await one.isEnabled()) await one.click();
    }
    await tap(page, 'Put into the canner');
    await tap(page, 'Yes, the longest time for all');
    await tap(page, 'On the heat');
    await tap(page, /^Full rolling boil/);
    const timing = await until(async () => {
      const found = await load();
      return found?.phase === 'timing' && found;
    }, 'the time to run');
    // 25 minutes for pear quarts, 20 for peach pints, hot packed, at 640 ft (USDA Complete Guide to
    // Home Canning, Guide 2).
    assert.equal(timing.process.tested.minutes, 25);
    assert.equal(timing.done_at - timing.boil_at, 25 * 60_000);
    assert.equal(timing.jar_count, 7000);

    await sees(page, 'Longer than tested: safe, but softer.');
    await tap(page, /^Heat off/);
    await tap(page, 'Jars are out');
    await until(async () => (await load()).phase === 'lifted', 'the jars to be out');

    await stage.end();
    await stage.startAgain(COOLING_SPEED);
    const { seals_from: due } = await load();
    const now = async () => (await (await fetch(`${stage.base}/api/me`)).json()).clock.now;
    await until(async () => (await now()) > due, 'the jars to be cool');
    await stage.end();
    await stage.startAgain(1);
    await page.goto(stage.at('seals'));
    await tap(page, 'All 2 sealed');
    for (let n = 0; n < 4; n += 1) await button(page, /^One more: .*Sealed/).last().click();
    await button(page, /^One more: .*Refrigerator/).last().click();
    await tap(page, 'Keep this check');
    await until(async () => {
      const { products } = await stage.view();
      return products['pears-quart'].finished === 4000 && products['peaches-pint'].finished === 2000;
    }, 'six jars on the shelf');
    assert.equal((await load()).checked.find((one) => one.product === 'pears-quart').refrigerated, 1);
    await sees(page, /Pear halves, quarts · .* · Hill orchard/);
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});
