// Firefox, driven by WebDriver BiDi: how it is started and how a page of a device is used. Not for
// what is tried with it. Invariant: nothing waits inside a page; its policy forbids that.

import assert from 'node:assert/strict';
import puppeteer from 'puppeteer-core';
import { LIMIT_MS } from './stage.js';

const AGAIN_MS = 50;

/** A Firefox of its own, its window as large as said. */
export const launchFirefox = ({ width, height } = { width: 1600, height: 1000 }) =>
  puppeteer.launch({
    browser: 'firefox',
    executablePath: process.env.PUTBY_FIREFOX ?? '/usr/bin/firefox-esr',
    headless: true,
    defaultViewport: null,
    args: [`--width=${width}`, `--height=${height}`],
  });

/** A page of a device of its own, gathering what goes wrong; `prepare(page)` runs before it loads. */
export async function deviceAt(browser, address, { size, prepare } = {}) {
  const page = await (await browser.createBrowserContext()).newPage();
  page.setDefaultTimeout(LIMIT_MS);
  if (size)
    await page.setViewport(size).catch((error) => {
      // Debian's Firefox does not know how a screen is turned, which is asked beside the size.
      if (!/setScreenOrientationOverride/.test(error.message)) throw error;
    });
  const faults = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  await prepare?.(page);
  await page.goto(address);
  return { page, faults };
}

/** Asks the page until it answers with something; gives that. */
export async function found(page, ask, ...given) {
  const giveUp = Date.now() + LIMIT_MS;
  for (;;) {
    const handle = await page.evaluateHandle(ask, ...given);
    if (await page.evaluate((one) => Boolean(one), handle)) return handle;
    assert.ok(Date.now() < giveUp, `never: ${given.flat().join(', ') || ask}`);
    await new Promise((resolve) => setTimeout(resolve, AGAIN_MS));
  }
}

/** Clicks the button or link whose name or words begin so. */
export async function click(page, words) {
  const button = await found(
    page,
    (start) =>
      [...document.querySelectorAll('button:enabled, a')].find((one) =>
        (one.getAttribute('aria-label') ?? one.textContent)
          .replaceAll(/\s+/g, ' ')
          .trim()
          .startsWith(start),
      ),
    words,
  );
  await button.asElement().click();
}

/** Waits until what `selector` finds shows the words. */
export const shows = (page, words, selector = 'body') =>
  found(
    page,
    (wanted, where) =>
      document.querySelector(where)?.innerText.replaceAll(/\s+/g, ' ').includes(wanted),
    words,
    selector,
  );
