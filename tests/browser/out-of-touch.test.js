// The Wi-Fi goes and comes back: nothing tapped is lost, nothing counts twice, and the screen says
// how it stands.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { wireTo } from './wire.js';
import { button, joinAs, peopleIn, sees, tap } from './person.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const POT = { station: 'soften', pot: 'pot-1' };
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge', amount: 10000 };
const COOKING = [
  { order: 'recount', station: 'soften', ...PLUMS },
  { order: 'claim', helper: 'maren', station: 'soften' },
  { order: 'fill-pot', ...POT, product: 'plum-puree' },
  { order: 'start-pot', ...POT, minder: 'maren' },
];

/** What happened at the wash: the names of the events, in the order of the journal. */
async function washed(stage) {
  const events = (await stage.events()).map((record) => record.event);
  return events.filter((one) => one.station === 'wash').map((one) => one.fact);
}

/** A phone of somebody at the wash, behind a wire. */
async function washing(stage, people, wire) {
  const phone = await people.open(stage.at('join', wire.base), { size: 'phone' });
  await joinAs(phone.page, 'Osk');
  await tap(phone.page, /^Wash fruit/);
  await button(phone.page, /^One colander done/).waitFor();
  return phone;
}

async function tapThrice(page) {
  for (let n = 0; n < 3; n += 1) await tap(page, /^One colander done/);
}

async function staged(run, orders = [PEARS]) {
  const stage = await orchardStage({ orders });
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

test('taps out of touch are kept, outlive the page, and count once each and in order', () =>
  staged(async (stage, people, wire) => {
    const { page, context } = await washing(stage, people, wire);
    await wire.cut();
    await tapThrice(page);
    await tap(page, 'Leave seat');
    await sees(page, '3 taps kept here, not counted yet');
    await sees(page, /Out of touch since \d\d:\d\d\./);
    await sees(page, '4 taps are kept on this device and will be sent.');
    assert.equal((await washed(stage)).includes('tallied'), false);

    await page.close();
    await wire.mend();
    const again = await context.newPage();
    await again.goto(stage.at('helper', wire.base));
    await again.getByRole('heading', { name: 'Where will you sit?' }).waitFor();
    await again.getByText('In touch').waitFor();
    const last = (await washed(stage)).slice(-4);
    assert.deepEqual(last, ['tallied', 'tallied', 'tallied', 'seat-left']);
    const { wash } = (await stage.view()).stations;
    assert.equal(wash.waiting['pears-quart'].amount, 9000);
    assert.equal(wash.done['pears-quart'].taken, 9000);
  }));

test('a tap whose answer got lost is sent again and counts once', () =>
  staged(async (stage, people, wire) => {
    const { page } = await washing(stage, people, wire);
    wire.loseAnswers();
    await tap(page, /^One colander done/);
    await until(async () => (await washed(stage)).includes('tallied'), 'the tap on the disk');
    await sees(page, /1 tap (on the way|kept here)/);
    wire.bringAnswers();
    await sees(page, /Counted at \d\d:\d\d: 3\slb/);
    const tallied = async () => (await washed(stage)).filter((one) => one === 'tallied').length;
    await until(async () => (await tallied()) > 0, 'the tap to be counted');
    await sees(page, '5 colanders waiting');
    assert.equal(await tallied(), 1);
  }));

test('taps made while the server is down are counted by the server that starts again', () =>
  staged(async (stage, people) => {
    const { page, faults } = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(page, 'Osk');
    await tap(page, /^Wash fruit/);
    await button(page, /^One colander done/).waitFor();
    await stage.kill();
    await tapThrice(page);
    await sees(page, '3 taps kept here, not counted yet');
    await stage.startAgain();
    await sees(page, '3 colanders waiting');
    await sees(page, /Counted at \d\d:\d\d: 3\slb/);
    assert.equal((await washed(stage)).filter((one) => one === 'tallied').length, 3);
    assert.deepEqual(faults, []);
  }));

test('timers go on while a page is out of touch, and it says how old its picture is', () =>
  staged(
    async (stage, people, wire) => {
      const { page } = await people.open(stage.at('lead', wire.base), { size: 'desk' });
      const timer = page.getByRole('listitem').filter({ hasText: 'stir Blue 12-quart pot' });
      await timer.waitFor();
      await wire.cut();
      await sees(page, /Out of touch since \d\d:\d\d\./);
      await sees(page, /What you see is \d+\ss old; timers run on\./);
      const before = await timer.innerText();
      await until(async () => (await timer.innerText()) !== before, 'the timer to go on');
      await wire.mend();
      await page.getByText('In touch').waitFor();
    },
    COOKING,
  ));

test('a page whose browser says offline keeps its taps and sends them when it is back', () =>
  staged(async (stage, people) => {
    const { page, context } = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(page, 'Osk');
    await tap(page, /^Wash fruit/);
    await button(page, /^One colander done/).waitFor();
    await context.setOffline(true);
    await tap(page, /^One colander done/);
    await sees(page, /Out of touch since \d\d:\d\d\./);
    await sees(page, '1 tap kept here, not counted yet');
    await context.setOffline(false);
    await until(async () => (await washed(stage)).includes('tallied'), 'the tap to be counted');
    await sees(page, '5 colanders waiting');
    assert.equal((await washed(stage)).filter((one) => one === 'tallied').length, 1);
  }));
