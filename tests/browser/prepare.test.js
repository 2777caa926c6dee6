// Some days before: what to make. The draft is typed, kept on the device, changed, and begun as a day.

import test from 'node:test';
import assert from 'node:assert/strict';
import { blankStage, fixture } from './stage.js';
import { becomeLead, onStage, sees, tap } from './person.js';

async function draft() {
  const { start_at: _start, cut_off_at: _cut, ...ask } = await fixture('prepare/family.json');
  return JSON.stringify({ start: '09:00', cut: '16:30', ask });
}

/** The number that stands beside a package. */
const count = (page, use, label) =>
  page
    .locator('.prepare-use', { has: page.getByRole('heading', { name: use }) })
    .getByRole('group', { name: label })
    .locator('output')
    .first()
    .innerText();

test('a draft typed by hand survives a reload and has its proposal', () =>
  onStage(blankStage, async (stage, people) => {
    const { page, faults } = await people.open(stage.home, { size: 'phone' });
    await page.goto(`${stage.base}/#/prepare`);
    await sees(page, 'Say which produce there is and how much.');
    await page.getByRole('combobox', { name: 'Produce', exact: true }).first().selectOption('pears');
    await page.getByLabel('How much', { exact: true }).fill('40');
    await page.getByLabel('Counted in').first().selectOption('lb');
    await page.getByRole('textbox', { name: /^Dish/ }).fill('Pears and cake');
    await page.getByRole('combobox', { name: 'Produce', exact: true }).nth(1).selectOption('pears');
    await page.getByLabel('It takes each time').fill('1');
    await page.getByLabel('Counted in').nth(1).selectOption('quart');
    await page.locator('summary', { hasText: 'Jars, bags and lids' }).click();
    await page.locator('summary', { hasText: 'quart jars' }).click();
    const quarts = page.locator('details', { has: page.locator('summary', { hasText: /^quart jars/ }) });
    await quarts.last().getByLabel('In the house').fill('12');
    await page
      .locator('fieldset', { has: page.getByText('New lids', { exact: true }) })
      .getByLabel('In the house')
      .fill('20');
    // Without the altitude nothing is for the shelf, and it says so.
    await sees(page, 'Nothing is made for it.');
    await page.getByLabel('Altitude of the kitchen, in feet').fill('640');
    await page.locator('.prepare-line').first().waitFor();
    // 12 jars: 30 of the 40 pounds, and the jars are what holds the rest back.
    assert.equal(await count(page, 'Pears and cake', 'quart jars'), '12');
    await sees(page, 'there are no more quart jars');
    await page.reload();
    await page.locator('.prepare-line').first().waitFor();
    assert.equal(await count(page, 'Pears and cake', 'quart jars'), '12');
    assert.deepEqual(faults, []);
  }));

test('the lead settles a number, sees the rest follow, and begins the day', () =>
  onStage(blankStage, async (stage, people) => {
    const { page, faults } = await people.open(stage.home, { size: 'desk' });
    await becomeLead(page, stage);
    await page.evaluate((text) => localStorage.setItem('putby.choice.prepare', text), await draft());
    await page.goto(`${stage.base}/#/prepare`);
    await page.locator('.prepare-line').first().waitFor();
    assert.equal(await count(page, 'Plum purée for baking', 'quart jars'), '6');
    const pie = page.locator('.prepare-use', {
      has: page.getByRole('heading', { name: 'Plum pie' }),
    });
    // Eight bags leave plums for one quart of purée only.
    for (let n = 6; n <= 8; n += 1) {
      await pie.getByRole('button', { name: /^One more/ }).first().click();
      await page.waitForFunction(
        (wanted) =>
          !document.querySelector('.prepare-waits') &&
          [...document.querySelectorAll('.prepare-line output')].some(
            (one) => one.textContent === String(wanted),
          ),
        n,
      );
    }
    assert.equal(await count(page, 'Plum purée for baking', 'quart jar'), '1');
    await sees(page, 'settled by you');
    await tap(page, 'Begin this day');
    await page.waitForURL(/#\/day\/.*\/lead$/);
    const days = await (await page.request.get(`${stage.base}/api/days`)).json();
    assert.equal(Object.keys(days.days).length, 1);
    assert.deepEqual(faults, []);
  }));

test('what a season taught is taken over as a dish', () =>
  onStage(blankStage, async (stage, people) => {
    const { page, faults } = await people.open(stage.home, { size: 'desk' });
    const { shelf } = await fixture('prepare/season.json');
    await page.route('**/api/shelf/uses', (route) => route.fulfill({ json: shelf }));
    await page.goto(`${stage.base}/#/prepare`);
    await page.locator('summary', { hasText: 'What last season says' }).click();
    await sees(page, 'Make 18 pint jars: more than the 12 of this season.');
    await sees(page, 'Of 5 of 8, half was left over.');
    await tap(page, 'Take Pears, quart jars over as a dish');
    await page.locator('summary', { hasText: 'Pears, quart jars' }).waitFor();
    assert.deepEqual(faults, []);
  }));
