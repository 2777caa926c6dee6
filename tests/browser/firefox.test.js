// The other engine: Firefox, driven by WebDriver BiDi, shows and does the same.

import test from 'node:test';
import assert from 'node:assert/strict';
import puppeteer from 'puppeteer-core';
import { LIMIT_MS, orchardStage } from './stage.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };

const launchFirefox = () =>
  puppeteer.launch({
    browser: 'firefox',
    executablePath: process.env.PUTBY_FIREFOX ?? '/usr/bin/firefox-esr',
    headless: true,
  });

/** A page of a device of its own, gathering what goes wrong. */
async function deviceAt(browser, address, size) {
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  page.setDefaultTimeout(LIMIT_MS);
  await page.setViewport(size).catch((error) => {
    // Debian's Firefox does not know how a screen is turned, which is asked beside the size.
    if (!/setScreenOrientationOverride/.test(error.message)) throw error;
  });
  const faults = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  await page.goto(address);
  return { page, faults };
}

/** Asks the page until it answers with something; the page's policy forbids waiting inside it. */
async function found(page, ask, ...given) {
  const giveUp = Date.now() + LIMIT_MS;
  for (;;) {
    const handle = await page.evaluateHandle(ask, ...given);
    if (await page.evaluate((one) => Boolean(one), handle)) return handle;
    assert.ok(Date.now() < giveUp, `never: ${given.flat().join(', ')}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Clicks the button or link whose words begin so. */
async function click(page, words) {
  const button = await found(
    page,
    (start) =>
      [...document.querySelectorAll('button:enabled, a')].find((one) =>
        one.textContent.replaceAll(/\s+/g, ' ').trim().startsWith(start),
      ),
    words,
  );
  await button.asElement().click();
}

/** Waits until a station's box on the lead page shows all of the words. */
const boxSays = (page, name, ...words) =>
  found(
    page,
    (station, wanted) => {
      const plain = (one) => one.textContent.replaceAll(/\s+/g, ' ');
      const box = [...document.querySelectorAll('.station-box')].find(
        (one) => one.querySelector('button')?.textContent.trim() === station,
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
    const lead = await deviceAt(browser, stage.leadAddress, { width: 1440, height: 900 });
    await lead.page.waitForSelector('a[href="#/begin"]');
    await lead.page.goto(stage.at('lead'));
    await boxSays(lead.page, 'Wash fruit', '6 colanders · 18 lb', '3 free');
    await lead.page.evaluate(() => {
      globalThis.sameDocument = true;
    });

    const helper = await deviceAt(browser, stage.at('join'), { width: 1024, height: 768 });
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
