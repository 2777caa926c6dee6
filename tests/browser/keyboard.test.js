// Without a pointer: joining, claiming, counting and taking back with Tab, Enter and Space.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage } from './stage.js';
import { peopleIn, sees } from './person.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const MOST_STEPS = 80;

/** What has the focus now, and whether it can be seen that it has. */
const focused = (page) =>
  page.evaluate(() => {
    const { activeElement: element } = document;
    const { outlineStyle, outlineWidth } = getComputedStyle(element);
    return {
      words: element.textContent.replaceAll(/\s+/g, ' ').trim(),
      seen: outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2,
    };
  });

async function tabTo(page, words) {
  for (let step = 0; step < MOST_STEPS; step += 1) {
    await page.keyboard.press('Tab');
    const now = await focused(page);
    if (words.test(now.words)) {
      assert.equal(now.seen, true, `the focus on "${now.words}" can be seen`);
      return;
    }
  }
  assert.fail(`Tab never came to ${words}`);
}

test('join, claim, tally and undo work by keys alone, and the focus is always seen', async () => {
  const stage = await orchardStage({ orders: [PEARS] });
  const people = await peopleIn();
  try {
    const { page, faults } = await people.open(stage.at('join'), { size: 'tablet' });
    await page.getByRole('heading', { name: 'Who are you?' }).waitFor();
    await tabTo(page, /^Osk/);
    await page.keyboard.press('Enter');
    await sees(page, 'Where will you sit?');
    await tabTo(page, /^Wash fruit/);
    await page.keyboard.press('Space');
    await sees(page, '6 colanders waiting');
    await tabTo(page, /^One colander done/);
    await page.keyboard.press('Enter');
    await sees(page, '5 colanders waiting');
    await tabTo(page, /^Take back$/);
    await page.keyboard.press('Space');
    await sees(page, '6 colanders waiting');
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});

test('a sheet opened by the keyboard takes the focus and Escape closes it', async () => {
  const stage = await orchardStage({ orders: [PEARS] });
  const people = await peopleIn();
  try {
    await stage.order({ order: 'claim', helper: 'osk', station: 'wash' });
    const { page } = await people.open(stage.at('join'), { size: 'tablet' });
    await page.getByRole('heading', { name: 'Who are you?' }).waitFor();
    await tabTo(page, /^Osk/);
    await page.keyboard.press('Enter');
    await sees(page, '6 colanders waiting');
    await tabTo(page, /^We need/);
    await page.keyboard.press('Enter');
    const sheet = page.getByRole('dialog', { name: 'We need …' });
    await sheet.waitFor();
    assert.equal(await sheet.evaluate((one) => one.contains(document.activeElement)), true);
    await page.keyboard.press('Escape');
    await sheet.waitFor({ state: 'hidden' });
    assert.match((await focused(page)).words, /^We need/);
  } finally {
    await people.close();
    await stage.stop();
  }
});
