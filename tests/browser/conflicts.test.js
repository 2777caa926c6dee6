// What happened meanwhile: after a time out of touch each tap that no longer fits is explained in
// words with what to do, by the names the person saw; none disappears. Two tabs of one device bring
// each tap once; a page loaded while out of touch loses nothing; a full storage is told.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { wireTo } from './wire.js';
import { button, joinAs, peopleIn, sees, tap } from './person.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const DONE = /^One colander done/;

async function staged(run) {
  const stage = await orchardStage({ orders: [PEARS] });
  const people = await peopleIn();
  const wire = await wireTo(stage.base);
  try {
    const phone = await people.open(stage.at('join', wire.base), { size: 'phone' });
    await joinAs(phone.page, 'Osk');
    await run({ stage, people, wire, ...phone });
    assert.deepEqual(phone.faults, []);
  } finally {
    wire.close();
    await people.close();
    await stage.stop();
  }
}

const notDone = (page) => page.getByRole('region', { name: 'Not done' });
const tallied = async (stage) =>
  (await stage.events()).filter(({ event }) => event.fact === 'tallied').length;
const washing = async (page) => {
  await tap(page, /^Wash fruit/);
  await button(page, DONE).waitFor();
};
/** How many taps the storage of the device holds. */
const kept = (page) =>
  page.evaluate(() => Object.keys(localStorage).filter((key) => /outbox/.test(key)).length);

test('moved to another station meanwhile: each tap is told, with the way back', () =>
  staged(async ({ stage, wire, page }) => {
    await washing(page);
    await wire.cut();
    await tap(page, DONE);
    await tap(page, DONE);
    await stage.order({ order: 'switch', helper: 'osk', station: 'pare' });
    await wire.mend();
    await sees(notDone(page), 'Osk does not sit at Wash fruit.');
    await sees(notDone(page), 'Take a seat at Wash fruit first.');
    await until(
      async () => (await notDone(page).getByText('Not done: Tally at Wash fruit.').count()) === 2,
      'both taps to be told',
    );
    assert.equal(await tallied(stage), 0);
  }));

test('a station put away and then taken off the list is told by the name it had', () =>
  staged(async ({ stage, wire, page }) => {
    await button(page, /^Halve and pit plums/).waitFor();
    await wire.cut();
    await tap(page, /^Halve and pit plums/);
    await stage.order({ order: 'put-away', station: 'pit' });
    await wire.mend();
    await sees(notDone(page), 'Not done: Osk sits down at Halve and pit plums.');
    await sees(notDone(page), 'Halve and pit plums is put away.');
    await sees(notDone(page), 'Ask the lead to set Halve and pit plums up first.');
  }));

test('the day closed meanwhile: every tap is told, over a reload too, until it is read', () =>
  staged(async ({ stage, wire, page }) => {
    await washing(page);
    await wire.cut();
    for (let n = 0; n < 3; n += 1) await tap(page, DONE);
    await stage.order({ order: 'close-day' });
    await wire.mend();
    const cards = notDone(page).getByText('Not done: Tally at Wash fruit.');
    await until(async () => (await cards.count()) === 3, 'three refusals');
    await sees(notDone(page), 'The day is closed.');
    await sees(notDone(page), /Open a new day/);
    await page.reload();
    await until(async () => (await cards.count()) === 3, 'three refusals after the reload');
  }));

test('a lot taken off meanwhile is told to the lead by its name', () =>
  staged(async ({ stage, people, wire }) => {
    const { page } = await people.open(`${wire.base}/#/lead-key/${stage.key}`, { size: 'desk' });
    await page.getByRole('link', { name: 'Begin a new day' }).waitFor();
    await page.goto(stage.at('lead', wire.base));
    await page.getByText('In touch').waitFor();
    await wire.cut();
    // As the sheet's own button would: by the page's outbox, which outlives the page.
    await page.evaluate(
      ([day]) =>
        localStorage.setItem(
          `putby.outbox.${day}.11111111-1111-4111-8111-111111111111`,
          JSON.stringify({
            id: '11111111-1111-4111-8111-111111111111',
            command: { order: 'open-box', lot: 'peaches-south', product: 'peaches-pint' },
            said: 'Open a box of the southern peaches',
            place: 1,
          }),
        ),
      [stage.day],
    );
    await stage.order({ order: 'retire-lot', lot: 'peaches-south' });
    await wire.mend();
    await sees(notDone(page), 'Not done: Open a box of the southern peaches.');
    await sees(notDone(page), /it may have been taken off/);
  }));

test('two tabs of one device bring each tap once, and both know it', () =>
  staged(async ({ stage, wire, page, context }) => {
    await washing(page);
    await wire.cut();
    await tap(page, DONE);
    await tap(page, DONE);
    await sees(page, '2 taps kept here, not counted yet');
    await wire.mend();
    await wire.cut();
    const other = await context.newPage();
    await wire.mend();
    await other.goto(stage.at('helper', wire.base));
    await sees(other, '4 colanders waiting');
    await sees(page, '4 colanders waiting');
    await page.getByText('In touch').waitFor();
    assert.equal(await tallied(stage), 2);
    assert.equal(await kept(page), 0);
    await tap(other, DONE);
    await tap(page, DONE);
    await sees(other, '2 colanders waiting');
    await sees(page, '2 colanders waiting');
    assert.equal(await tallied(stage), 4);
  }));

test('reloaded while out of touch the page cannot come, yet its taps are kept and sent', () =>
  staged(async ({ stage, wire, page }) => {
    await washing(page);
    await wire.cut();
    await tap(page, DONE);
    await tap(page, DONE);
    await sees(page, /Keep this page open/);
    // The page may be gone before it is answered.
    page.on('dialog', (dialog) => dialog.accept().catch(() => {}));
    await assert.rejects(page.reload(), 'nothing can be loaded over a cut wire');
    await wire.mend();
    // The page that could not be loaded is closed, as somebody would who sees the browser's own words.
    const again = await page.context().newPage();
    await page.close();
    await again.goto(stage.at('helper', wire.base));
    await sees(again, '4 colanders waiting');
    await until(async () => (await tallied(stage)) === 2, 'both taps');
  }));

test('a storage that is full is told, and the taps count all the same', () =>
  staged(async ({ stage, wire, page }) => {
    await washing(page);
    await page.evaluate(() => {
      for (let size = 1 << 22; size > 0; size >>= 1)
        try {
          for (let n = 0; n < 9; n += 1) localStorage.setItem(`fill.${size}.${n}`, 'x'.repeat(size));
        } catch {
          /* As full as it gets with pieces of this size. */
        }
    });
    await wire.cut();
    await tap(page, DONE);
    await sees(page, /This device cannot store any more/);
    await wire.mend();
    await sees(page, '5 colanders waiting');
    await until(
      async () => !(await page.getByText(/This device cannot store any more/).count()),
      'the warning to go',
    );
    assert.equal(await tallied(stage), 1);
  }));
