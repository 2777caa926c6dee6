// Pots and canners, by tapping: a pot from filling to done, and a load whose time starts at a
// confirmed full rolling boil and nowhere else.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { wireTo } from './wire.js';
import { becomeLead, boxSays, button, joinAs, peopleIn, sees, tap } from './person.js';

/** Seconds of the day in a second of the test: 25 minutes of process take 10 seconds. */
const SPEED = 150;
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge', amount: 10000 };
const JARS = { product: 'pears-quart', lot: 'pears-hill', amount: 7000 };

async function staged(orders, run) {
  const stage = await orchardStage({ speed: SPEED, orders });
  const people = await peopleIn();
  const wire = await wireTo(stage.base);
  try {
    await run(stage, people, wire);
  } finally {
    wire.close();
    await people.close();
    await stage.stop();
  }
}

const pot = (page) =>
  page
    .getByRole('article')
    .filter({ has: page.getByRole('heading', { name: 'Blue 12-quart pot' }) });

test('a pot is filled, started with a minder, calls for stirring, is stirred and done', () =>
  staged([{ order: 'recount', station: 'soften', ...PLUMS }], async (stage, people) => {
    const { page, faults } = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(page, 'Maren');
    await tap(page, /^Cook plums soft/);
    const blue = pot(page);
    await tap(blue, 'Fill with Plum purée');
    await sees(blue, /filled, not on the heat · Plum purée · 10\slb/);
    await blue.getByRole('combobox', { name: 'Who steps in' }).selectOption({ label: 'Osk' });
    await tap(blue, 'Heat on');
    await sees(blue, 'Maren minds it; Osk steps in.');

    const alarms = page.getByRole('alert', { name: 'Alarms' });
    await sees(alarms, /stir Blue 12-quart pot now/);
    await tap(blue, 'Half cooked down');
    await button(blue, /^Half cooked down\s*\(last time\)/).waitFor();
    const { pots } = (await stage.view()).stations.soften;
    assert.equal(pots['pot-1'].thickness, 'half');
    assert.ok(pots['pot-1'].stir_at > pots['pot-1'].stirred_at);

    await blue.getByText('Done?').click();
    await tap(blue, 'Pot is done');
    await sees(blue, 'Must be washed first.');
    const { strain } = (await stage.view()).stations;
    // 10 lb at 1.88 lb to the quart, as the day's plan says: 5.319 qt.
    assert.equal(strain.waiting['plum-puree'].amount, 5319);
    assert.deepEqual(faults, []);
  }));

async function buildAndHeat(canner) {
  await tap(canner, 'Put into the canner');
  await sees(canner, 'Canner A: Jars are in');
  await sees(canner, '25 minutes');
  await tap(canner, 'On the heat');
  await sees(canner, 'Canner A: Coming to the boil');
}

const cannerA = (page) => page.getByRole('region', { name: 'Canner A' });
const theLoad = async (stage) => Object.values((await stage.view()).loads)[0];

test('a load counts down from the full rolling boil only, and is lifted when that is over', () =>
  staged([{ order: 'recount', station: 'canners', ...JARS }], async (stage, people) => {
    const { page, faults } = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(page, 'Osk');
    await tap(page, /^Canners/);
    const canner = cannerA(page);
    await sees(canner, 'Canner A is free');
    await sees(canner, 'of 7 waiting');
    await buildAndHeat(canner);
    assert.equal((await theLoad(stage)).done_at, undefined);
    assert.equal(await canner.getByText('boiling', { exact: true }).count(), 0);
    assert.equal(await button(canner, 'Heat off, lid off').count(), 0);

    await tap(canner, 'Full rolling boil: start the time');
    await sees(canner, 'Canner A: Boiling, the time runs');
    const { boil_at: boil, done_at: done } = await theLoad(stage);
    assert.equal(done - boil, 25 * 60000);
    await sees(canner, /^(2[0-5]|1\d):\d\d$/);
    assert.equal(await button(canner, 'Heat off, lid off').count(), 0);

    await tap(canner, 'Heat off, lid off');
    await sees(canner, 'Canner A: Heat off, lid off: resting');
    await tap(canner, 'Jars are out');
    await sees(canner, 'Canner A is free');
    const { rack } = (await stage.view()).stations;
    assert.equal(rack.waiting['pears-quart'].amount, 7000);
    assert.deepEqual(faults, []);
  }));

test('a lost boil starts the whole time again, and heat-off before it is over is refused', () =>
  staged([{ order: 'recount', station: 'canners', ...JARS }], async (stage, people, wire) => {
    const osk = await people.open(stage.at('join', wire.base), { size: 'tablet' });
    await joinAs(osk.page, 'Osk');
    await tap(osk.page, /^Canners/);
    const canner = cannerA(osk.page);
    await buildAndHeat(canner);
    await tap(canner, 'Full rolling boil: start the time');
    await sees(canner, 'Canner A: Boiling, the time runs');
    const lead = await people.open(stage.home, { size: 'desk' });
    await becomeLead(lead.page, stage);
    await lead.page.goto(stage.at('lead'));
    await boxSays(lead.page, 'Canners', /Canner A: boiling/);

    // Osk hears nothing more: his clock runs to the end of a time that began again meanwhile.
    await wire.cut();
    await button(canner, 'Heat off, lid off').waitFor();
    await tap(lead.page, 'Canners');
    const same = cannerA(lead.page.getByRole('dialog'));
    // The clocks of two devices are not one, and what can be tapped moves when the time is over.
    await button(same, 'Heat off, lid off').waitFor();
    await tap(same, 'The boil was lost');
    await sees(same, 'The boil was lost 1 time; the time began again.');
    assert.equal((await theLoad(stage)).done_at, undefined);
    await tap(same, 'Full rolling boil: start the time');
    await sees(same, 'Canner A: Boiling, the time runs');
    await tap(canner, 'Heat off, lid off');
    await wire.mend();
    const refusal = osk.page.getByRole('region', { name: 'Not done' });
    await sees(refusal, /^\d+ of 25 minutes are left\.$/);
    await sees(refusal, 'Leave the heat on.');
    const load = await until(async () => {
      const found = await theLoad(stage);
      return found.phase === 'timing' && found;
    }, 'the load to boil on');
    assert.equal(load.done_at - load.boil_at, 25 * 60000);
  }));
