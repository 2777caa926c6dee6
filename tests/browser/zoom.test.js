// At twice the size nothing is cut off: no screen scrolls sideways and no word leaves the edge.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage } from './stage.js';
import { SIZES } from './browser.js';
import { becomeLead, button, joinAs, peopleIn, tap } from './person.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const TABS = ['Stations', 'Products', 'Lots', 'Helpers', 'Supplies', 'Shared things', 'Rule'];

let stage = null;
let people = null;
before(async () => {
  stage = await orchardStage({ orders: [PEARS] });
  people = await peopleIn();
});
after(async () => {
  await people.close();
  await stage.stop();
});

/** A tablet at 200 %, and the narrowest page that WCAG 2.2, 1.4.10 asks to fit without loss. */
const ZOOMED = {
  'a tablet at 200 %': 'tablet-zoomed',
  'a page 320 px wide': 'narrow',
};
SIZES['tablet-zoomed'] = { ...SIZES.tablet, width: 512, height: 384, deviceScaleFactor: 2 };
SIZES.narrow = { ...SIZES.phone, width: 320, height: 568, deviceScaleFactor: 2 };

/** What sticks out at the right edge, apart from what scrolls in a frame of its own. */
async function sticksOut(page) {
  return page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    const scrolls = (element) => {
      for (let one = element; one && one !== document.body; one = one.parentElement)
        if (['auto', 'scroll'].includes(getComputedStyle(one).overflowX)) return true;
      return false;
    };
    const out = [...document.querySelectorAll('h1,h2,h3,p,button,a,input,select,label,li')]
      .filter((one) => one.getBoundingClientRect().right > clientWidth + 1 && !scrolls(one))
      .map((one) => `${one.tagName} ${one.textContent.trim().slice(0, 40)}`);
    return scrollWidth > clientWidth ? [`${scrollWidth} in ${clientWidth}`, ...out] : out;
  });
}

async function fits(page, what) {
  assert.deepEqual(await sticksOut(page), [], what);
}

for (const [words, size] of Object.entries(ZOOMED)) {
  test(`join and the helper screen fit ${words}`, async () => {
    const { page } = await people.open(stage.at('join'), { size });
    await page.getByRole('heading', { name: 'Who are you?' }).waitFor();
    await fits(page, 'join');
    await tap(page, 'I am new');
    await page.getByRole('heading', { name: 'Pick your picture' }).waitFor();
    await fits(page, 'picking a picture');
    await tap(page, 'Sign: bell');
    await page.getByText('How old are you?').waitFor();
    await fits(page, 'name and age');
    await tap(page, 'Back');
    await tap(page, 'Back');
    await joinAs(page, size === 'narrow' ? 'Edda' : 'Osk');
    await page.getByRole('heading', { name: 'Where will you sit?' }).waitFor();
    await fits(page, 'choosing a seat');
    await tap(page, /^Wash fruit/);
    await button(page, /^One colander done/).waitFor();
    await fits(page, 'seated');
    await tap(page, 'Too soft');
    await page.getByRole('dialog').waitFor();
    await fits(page, 'the sheet for what is too soft');
  });

  test(`every part of the set-up fits ${words}`, async () => {
    const { page } = await people.open(stage.home, { size });
    await becomeLead(page, stage);
    await page.goto(stage.at('set-up'));
    await page.getByRole('heading', { level: 1, name: 'Set up' }).waitFor();
    await fits(page, 'Day');
    for (const tab of TABS) {
      await tap(page, new RegExp(`^${tab}`));
      await page.getByRole('heading', { level: 2, name: new RegExp(`^${tab}`) }).waitFor();
      const first = page.locator('.thing-head').first();
      if (await first.count()) await first.click();
      await fits(page, tab);
    }
  });
}
