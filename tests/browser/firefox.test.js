// The other engine: Firefox shows and does the same.

import test from 'node:test';
import assert from 'node:assert/strict';
import { click, deviceAt, found, launchFirefox, shows } from './fox.js';
import { AT_ONCE, first, hurt, next, payloads } from './odd-names.js';
import { orchardStage, until } from './stage.js';
import { wireTo } from './wire.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const PHONE = { size: { width: 390, height: 844 } };
const TABLET = { size: { width: 1024, height: 768 } };

/** Waits until a station's box shows all of the words. */
const boxSays = (page, name, ...words) =>
  found(
    page,
    (station, wanted) => {
      const plain = (one) => one.textContent.replaceAll(/\s+/g, ' ');
      const box = [...document.querySelectorAll('.station-box')].find(
        (one) => one.querySelector('.box-name')?.textContent.trim() === station,
      );
      return box && wanted.every((one) => plain(box).includes(one));
    },
    name,
    words,
  );

test('in Firefox a claim and a tally are seen on the lead page at once', async () => {
  const stage = await orchardStage({ orders: [PEARS] });
  const browser = await launchFirefox();
  try {
    const lead = await deviceAt(browser, stage.leadAddress);
    await lead.page.waitForSelector('a[href="#/begin"]');
    await lead.page.goto(stage.at('lead'));
    await boxSays(lead.page, 'Wash fruit', '6 colanders · 18 lb', '3 free');
    await lead.page.evaluate(() => {
      globalThis.sameDocument = true;
    });

    const helper = await deviceAt(browser, stage.at('join'), TABLET);
    await click(helper.page, 'Osk');
    await click(helper.page, 'Wash fruit');
    await boxSays(lead.page, 'Wash fruit', 'Osk', '2 free');
    await click(helper.page, 'One colander done');
    await boxSays(lead.page, 'Wash fruit', '5 colanders · 15 lb');
    await click(helper.page, 'Take back');
    await boxSays(lead.page, 'Wash fruit', '6 colanders · 18 lb');
    assert.equal(await lead.page.evaluate(() => globalThis.sameDocument), true);
    assert.deepEqual([...lead.faults, ...helper.faults], []);
  } finally {
    await browser.close();
    await stage.stop();
  }
});

const tallied = async (stage) =>
  (await stage.events()).filter(({ event }) => event.fact === 'tallied').length;

async function inFirefox(run) {
  const stage = await orchardStage({ orders: [PEARS] });
  const browser = await launchFirefox();
  const wire = await wireTo(stage.base);
  try {
    await run({ stage, browser, wire });
  } finally {
    wire.close();
    await browser.close();
    await stage.stop();
  }
}

test('in Firefox taps over a cut wire are kept, outlive the page and count once', () =>
  inFirefox(async ({ stage, browser, wire }) => {
    const { page } = await deviceAt(browser, stage.at('join', wire.base), PHONE);
    await click(page, 'Osk');
    await click(page, 'Wash fruit');
    await shows(page, '6 colanders waiting');
    await wire.cut();
    await click(page, 'One colander done');
    await click(page, 'One colander done');
    await shows(page, '2 taps kept here, not counted yet');
    await shows(page, 'Out of touch since');
    assert.equal(await tallied(stage), 0);
    const again = await page.browserContext().newPage();
    await page.close({ runBeforeUnload: false });
    await wire.mend();
    await again.goto(stage.at('helper', wire.base));
    await again.waitForSelector('.act');
    await shows(again, '4 colanders waiting');
    await until(async () => (await tallied(stage)) === 2, 'both taps');
  }));

test('in Firefox what no longer fits after the server was away is told in words', () =>
  inFirefox(async ({ stage, browser, wire }) => {
    const { page } = await deviceAt(browser, stage.at('join', wire.base), TABLET);
    await click(page, 'Osk');
    await click(page, 'Wash fruit');
    await shows(page, '6 colanders waiting');
    await wire.cut();
    await click(page, 'One colander done');
    await shows(page, '1 tap kept here, not counted yet');
    await stage.order({ order: 'switch', helper: 'osk', station: 'pare' });
    await stage.end();
    await stage.startAgain();
    await wire.mend();
    await shows(page, 'Not done: Tally at Wash fruit.');
    await shows(page, 'Osk does not sit at Wash fruit.');
    assert.equal(await tallied(stage), 0);
  }));

test('in Firefox a child, the lead and the wall see one kitchen', () =>
  inFirefox(async ({ stage, browser }) => {
    const wall = await deviceAt(browser, stage.at('wall'));
    await boxSays(wall.page, 'Wash fruit', '6 colanders');
    const child = await deviceAt(browser, stage.at('join'), TABLET);
    await click(child.page, 'Bo');
    await click(child.page, 'Wash fruit');
    await shows(child.page, 'Which grown-up stays beside Bo at Wash fruit?');
    await click(child.page, 'Maren');
    await shows(child.page, 'with Maren beside');
    await click(child.page, 'One colander done');
    await boxSays(wall.page, 'Wash fruit', 'Bo', '5 colanders');
    assert.deepEqual([...wall.faults, ...child.faults], []);
  }));

test('in Firefox two hundred names that are markup are names', async () => {
  const stage = await orchardStage();
  const browser = await launchFirefox();
  try {
    const { page, faults } = await deviceAt(browser, stage.leadAddress);
    const dialogs = [];
    page.on('dialog', (dialog) => {
      dialogs.push(dialog.message());
      dialog.dismiss();
    });
    await page.waitForSelector('a[href="#/begin"]');
    await page.goto(stage.at('lead'));
    const all = payloads();
    for (let at = 0; at < all.length; at += AT_ONCE) {
      const names = all.slice(at, at + AT_ONCE);
      for (const order of at === 0 ? first(names) : next(names)) await stage.order(order);
      const shown = (wanted) => {
        const boxes = [...document.querySelectorAll('.station-box .box-name')];
        const words = boxes.map((box) => box.textContent.trim());
        return wanted.every((name) => words.includes(name.trim()));
      };
      await found(page, shown, names);
      assert.deepEqual(await page.evaluate(hurt), [null, 0]);
    }
    assert.deepEqual([dialogs, faults], [[], []]);
  } finally {
    await browser.close();
    await stage.stop();
  }
});
