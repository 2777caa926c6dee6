// A teen on a phone: goes where the board needs them and why, counts while the Wi-Fi is slow or
// gone, sends soft fruit another way, and does the whole of it by keys alone.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { looksAhead, sampleOutlook } from './ahead.js';
import { holdsAnswers } from './device.js';
import { button, joinAs, missesNow, peopleIn, sees, tap } from './person.js';

const PEARS = { product: 'pears-quart', lot: 'pears-hill' };
const PARE = 'Peel, halve and core pears';
const POT = { station: 'soften', pot: 'pot-1' };
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'pare', ...PEARS, amount: 6250 },
];
const COOKING = [
  { order: 'recount', station: 'soften', product: 'plum-puree', lot: 'plums-hedge', amount: 10000 },
  { order: 'fill-pot', ...POT, product: 'plum-puree' },
  { order: 'start-pot', ...POT, minder: 'juno' },
];

/** A phone or tablet of Juno, who is sixteen; with `outlook` the board has looked ahead. */
async function onDevice(run, { orders = MORNING, outlook, size = 'phone' } = {}) {
  const stage = await orchardStage({ orders });
  const people = await peopleIn();
  try {
    const { page, context, faults } = await people.open(stage.home, { size });
    if (outlook) await looksAhead(page, outlook);
    const net = await holdsAnswers(page);
    await page.goto(stage.at('join'));
    await page.reload();
    await joinAs(page, 'Juno');
    await run({ stage, page, context, net });
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
}

const pared = async (stage) => (await stage.view()).stations.pare.waiting?.['pears-quart']?.amount;
const diverted = async (stage) =>
  (await stage.events()).map(({ event }) => event).filter(({ fact }) => fact === 'diverted');

async function pares(page) {
  await tap(page, new RegExp(`^${PARE}`));
  await button(page, /^One bowl done/).waitFor();
}

test('good choices stand first with the reason, and changing is one tap more', async () => {
  const sample = await sampleOutlook();
  await onDevice(
    async ({ stage, page }) => {
      const first = page.locator('.claims > li').first();
      await sees(first, PARE);
      await sees(first, '40 minutes of pears are waiting');
      await sees(first, 'you like this');
      await tap(page, /^Wash fruit/);
      await button(page, /^One colander done/).waitFor();
      await tap(page, 'Something else');
      const sheet = page.getByRole('dialog', { name: 'Where will you sit?' });
      await sees(sheet.locator('.claims > li').first(), PARE);
      await tap(sheet, new RegExp(`^${PARE}`));
      await page.getByRole('heading', { level: 2, name: PARE }).waitFor();
      await sees(page, 'about 40 minutes of work');
      await sees(page, 'then to Fill jars');
      assert.ok((await stage.view()).stations.pare.seated.juno);
    },
    { outlook: { ...sample, moves: [] } },
  );
});

test('four quick taps over a slow line each show at once and count once', () =>
  onDevice(async ({ stage, page, net }) => {
    await pares(page);
    await sees(page, '5 bowls waiting');
    net.hold();
    for (const left of ['4 bowls', '3 bowls', '2 bowls', '1 bowl']) {
      await tap(page, /^One bowl done/);
      await sees(page, `${left} waiting`);
    }
    await sees(page, '4 taps on the way …');
    await sees(page, '4 bowls done here');
    assert.equal(await pared(stage), 6250);
    net.release();
    await until(async () => (await pared(stage)) === 1250, 'all four to count');
    await sees(page, '1 bowl waiting');
    await sees(page, /Counted at/);
  }));

test('taps without Wi-Fi are marked as kept and can be taken back', () =>
  onDevice(async ({ stage, page, context }) => {
    await pares(page);
    await context.setOffline(true);
    await tap(page, /^One bowl done/);
    await tap(page, /^One bowl done/);
    await tap(page, /^One bowl done/);
    await sees(page, '3 taps kept here, not counted yet');
    await tap(page, 'Take back');
    await sees(page, '2 taps kept here, not counted yet');
    await sees(page, '3 bowls waiting');
    await context.setOffline(false);
    await until(async () => (await pared(stage)) === 3750, 'two to count');
    await sees(page, /Counted at/);
    assert.equal(await pared(stage), 3750);
  }));

test('too soft: one tap on where it goes, kept back a moment so that it can be undone', () =>
  onDevice(async ({ stage, page, net }) => {
    await pares(page);
    const left = net.asked();
    await tap(page, 'Too soft');
    await tap(page.getByRole('dialog'), /^½/);
    await tap(page.getByRole('dialog'), /^scraps/);
    await sees(page, /^0\.62\slb: scraps$/);
    await tap(page.locator('.notice'), 'Take back');
    await missesNow(page, /: scraps$/);
    await tap(page, 'Too soft');
    await tap(page.getByRole('dialog'), /^to Plum purée/);
    await sees(page, /^1\.25\slb: to Plum purée$/);
    await until(async () => (await diverted(stage)).length > 0, 'the fruit to be sent there');
    const [only, ...more] = await diverted(stage);
    assert.deepEqual(more, []);
    assert.equal(only.to.product, 'plum-puree');
    assert.equal(net.asked() - left, 1);
    await sees(page, '4 bowls waiting');
  }));

test('a pot minded from another seat is among my timers', () =>
  onDevice(
    async ({ page }) => {
      await pares(page);
      const mine = page.getByRole('list', { name: 'My timers' });
      await sees(mine, /stir Blue 12-quart pot/);
      await sees(mine, /^1[78]:\d\d$/);
    },
    { orders: [...MORNING, ...COOKING] },
  ));

test('what one station lacks is offered by its own name, the low first', () =>
  onDevice(async ({ stage, page }) => {
    await stage.order({ order: 'recount-supply', supply: 'lids', amount: 2000 });
    await tap(page, /^Fill jars/);
    await page.getByRole('heading', { level: 2, name: 'Fill jars' }).waitFor();
    await sees(page, /^It comes from /);
    await tap(page, 'We need …');
    const first = page.getByRole('dialog').locator('.tile').first();
    await sees(first, 'new lids');
    await sees(first, 'running low');
    await first.click();
    await sees(page, 'Asked for: new lids');
    const chores = async () => Object.values((await stage.view()).chores ?? {});
    await until(
      async () => (await chores()).some(({ text, kind }) => text === 'new lids' && kind.station === 'fill'),
      'the kitchen to hear of it',
    );
  }));

const focused = (page) =>
  page.evaluate(() => {
    const { activeElement: now, body } = document;
    return now === body ? '' : (now?.textContent.trim() ?? '');
  });

async function tabTo(page, words) {
  for (let step = 0; step < 60; step += 1) {
    await page.keyboard.press('Tab');
    if (words.test(await focused(page))) return;
  }
  assert.fail(`Tab never came to ${words}`);
}

test('claim, count, take back, rest and come back by keys alone', () =>
  onDevice(
    async ({ stage, page }) => {
      await tabTo(page, new RegExp(`^${PARE}`));
      await page.keyboard.press('Enter');
      await button(page, /^One bowl done/).waitFor();
      await tabTo(page, /One bowl done/);
      await page.keyboard.press('Space');
      await sees(page, '4 bowls waiting');
      await tabTo(page, /^Take back$/);
      await page.keyboard.press('Enter');
      await sees(page, '5 bowls waiting');
      await tabTo(page, /^Break$/);
      await page.keyboard.press('Enter');
      await tabTo(page, /^10 minutes/);
      await page.keyboard.press('Enter');
      await button(page, `Back to ${PARE}`).waitFor();
      await tabTo(page, new RegExp(`^Back to ${PARE}`));
      await page.keyboard.press('Enter');
      await button(page, /^One bowl done/).waitFor();
      assert.ok((await stage.view()).stations.pare.seated.juno);
    },
    { size: 'tablet' },
  ));
