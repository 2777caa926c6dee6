// Nobody is shut out, on any screen, open sheet, form or state: axe-core finds no barrier by day, by
// lamp light and on a phone; Tab comes to everything that can be tapped, in the order it is written,
// shows where it is, is stuck nowhere and leaves, at 200 % too; what opens over a screen closes with
// Escape and gives the focus back. No error in the console, nobody outside asked, the content policy
// kept.

import { after, before, describe, it } from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { launch, SIZES } from './browser.js';
import { walk } from './keys.js';
import { PLACES, tourStage, visit } from './tour.js';

const AXE = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** What another light can change: nothing of a page but its colours. */
const COLOURS = ['color-contrast', 'link-in-text-block'];
const ZOOMED = { width: SIZES.tablet.width / 2, height: SIZES.tablet.height / 2 };
const NOTHING = { missed: [], unseen: [], jumps: [] };

let stage = null;
let browser = null;
before(async () => {
  stage = await tourStage();
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await stage?.stop();
});

/** The check, and reports of the content policy, before anything of the page runs. */
async function prepare(context) {
  await context.addInitScript({ content: AXE });
  await context.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`);
    });
  });
}

const ALL = { runOnly: RULES, rules: { 'target-size': { enabled: true } } };
const OF_COLOURS = { runOnly: { type: 'rule', values: COLOURS } };

async function violations(page, what) {
  const found = await page.evaluate(
    async (options) =>
      (await globalThis.axe.run(document, { ...options, resultTypes: ['violations'] })).violations,
    what,
  );
  return found.map(
    ({ id, nodes }) =>
      `${id}: ${nodes.map((one) => `${one.target} ${one.any[0]?.message ?? ''}`).join(' | ')}`,
  );
}

/** Waits until what follows the size of the screen lies still; what ticks is let be. */
async function atRest(page) {
  const drawn = () => page.evaluate(() => document.body.innerHTML.replaceAll(/\d/g, ''));
  let last = await drawn();
  for (let looks = 0; looks < 40; looks += 1) {
    await page.waitForTimeout(60);
    const now = await drawn();
    if (now === last) return;
    last = now;
  }
}

/** One turn through a place: as it looks, then by keys, first large and then zoomed. */
async function throughIt(page) {
  await page.emulateMedia({ colorScheme: 'dark' });
  assert.deepEqual(await violations(page, OF_COLOURS), [], 'dark');
  await page.emulateMedia({ colorScheme: 'light' });
  assert.deepEqual(await violations(page, ALL), [], 'light');
  await page.setViewportSize(SIZES.phone);
  await atRest(page);
  assert.deepEqual(await violations(page, ALL), [], 'phone');
  for (const size of [SIZES.tablet, ZOOMED]) {
    await page.setViewportSize(size);
    await atRest(page);
    assert.deepEqual(await walk(page), NOTHING, `keys at ${size.width} px`);
  }
  if (!(await page.locator('dialog[open]').count())) return;
  await page.keyboard.press('Escape');
  await page.locator('dialog[open]').waitFor({ state: 'detached' });
  const back = await page.evaluate(() => document.activeElement !== document.body);
  assert.equal(back, true, 'the focus is back where it was');
}

// Two at a time: a page mostly waits, and nothing here depends on how fast it is.
describe('nobody is shut out', { concurrency: 2 }, () => {
  for (const place of PLACES)
    it(place.name, async () => {
      const { page, context, faults } = await visit(browser, stage, place, { prepare });
      try {
        await throughIt(page);
        assert.deepEqual(faults, []);
      } finally {
        await context.close();
      }
    });
});
