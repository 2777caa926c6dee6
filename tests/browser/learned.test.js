// After a day: what it taught is seen with its evidence; the lead corrects it and has it forgotten,
// and a helper's device sees no speeds and no buttons.

import test from 'node:test';
import assert from 'node:assert/strict';
import { setTimeout as pause } from 'node:timers/promises';
import { orchardStage } from './stage.js';
import { becomeLead, peopleIn, sees, tap } from './person.js';

const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'claim', helper: 'osk', station: 'wash' },
];
const TALLY = { order: 'tally', station: 'wash', helper: 'osk', product: 'pears-quart' };

test('the lead corrects what a day taught and has it forgotten; it outlives the plug', async () => {
  const stage = await orchardStage({ speed: 600, orders: MORNING });
  const people = await peopleIn();
  try {
    for (let bowl = 0; bowl < 4; bowl += 1) {
      await pause(400);
      await stage.order(TALLY);
    }
    await stage.order({ order: 'close-day' });
    const { page, faults } = await people.open(stage.home, { size: 'tablet' });
    await becomeLead(page, stage);
    await page.goto(`${stage.base}/#/learned`);
    await page.getByRole('heading', { level: 1, name: 'What was learned' }).waitFor();
    const osk = page.locator('.lesson', { hasText: 'Osk at Wash fruit' });
    await osk.waitFor();
    await osk.getByRole('button', { name: 'Correct: Osk at Wash fruit' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Percent of what is expected').fill('much');
    await tap(sheet, 'Keep this figure');
    await sees(sheet, 'Type a number.');
    await sheet.getByLabel('Percent of what is expected').fill('5000');
    await tap(sheet, 'Keep this figure');
    await sees(sheet, 'Say a number from 0.1 to 10.');
    await sheet.getByLabel('Percent of what is expected').fill('120');
    await sheet.getByLabel('Counts as so many seen').fill('9');
    await tap(sheet, 'Keep this figure');
    await sees(page, 'Kept. The board reckons with it from now on.');
    const said = await osk.textContent();
    assert.match(said, /120 % of what is expected/);
    assert.match(said, /Counts as 9 carriers seen\./);
    assert.match(said, /The lead’s own figure/);

    await stage.kill();
    await stage.startAgain();
    await page.reload();
    await osk.getByText('120 % of what is expected').waitFor();

    const helper = await people.open(stage.page('learned'), { size: 'phone' });
    await sees(helper.page, 'Only the lead may correct or forget.');
    assert.equal(await helper.page.getByText('Osk at Wash fruit').count(), 0);
    assert.equal(await helper.page.getByRole('button', { name: /^Correct/ }).count(), 0);

    await osk.getByRole('button', { name: 'Forget: Osk at Wash fruit' }).click();
    await tap(page.getByRole('dialog'), 'Forget it now');
    await osk.waitFor({ state: 'detached' });
    // While the plug was out nothing could be fetched, and the browser said so.
    const own = faults.filter((fault) => !/ERR_CONNECTION|409|Failed to load resource/.test(fault));
    assert.deepEqual(own, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});
