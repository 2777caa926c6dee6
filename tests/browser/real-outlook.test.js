// The outlook that the board makes itself, from taps to the screens: nothing is fed in here.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage } from './stage.js';
import { becomeLead, button, peopleIn, sees, tap } from './person.js';

const MINUTE_MS = 60000;
/** An unoptimised build on a busy machine takes its time over the first look ahead. */
const FIRST_LOOK_MS = 120_000;
const PEARS = { product: 'pears-quart', lot: 'pears-hill' };
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'pare', ...PEARS, amount: 17500 },
  { order: 'recount', station: 'fill', ...PEARS, amount: 4000 },
  { order: 'claim', helper: 'osk', station: 'wash' },
  { order: 'claim', helper: 'edda', station: 'pare' },
  { order: 'claim', helper: 'juno', station: 'fill' },
  { order: 'tally', station: 'wash', helper: 'osk', product: 'pears-quart' },
];

test('the board itself says when the day ends, what sets that, and how deep the queues are', async () => {
  const stage = await orchardStage({ orders: MORNING });
  const people = await peopleIn();
  try {
    const at = Date.now() + 600 * MINUTE_MS;
    await stage.order({ order: 'change-day', cut_off_at: at, altitude_ft: 640 });
    const { page, faults } = await people.open(stage.home, { size: 'tablet' });
    await becomeLead(page, stage);
    await page.goto(stage.at('lead'));
    await button(page, /^Done about \d\d:\d\d/).waitFor({ timeout: FIRST_LOOK_MS });
    await sees(page, /in \d+ of 100 days/);
    await sees(page, /^Finish set by /);
    await sees(page, 'What helps');
    await tap(page, /^Done about/);
    const sheet = page.getByRole('dialog', { name: 'When we are done' });
    await sees(sheet, /^Done between .*, most likely /);
    await sees(sheet, 'What if');
    await sees(sheet, /best possible pace/);
    const unsaid = await page.evaluate(() =>
      document.body.innerText.match(/\b[a-z]+(-[a-z]+)*\.[a-z]+(-[a-z]+)*\b|undefined|NaN/g),
    );
    assert.equal(unsaid, null, 'every kind has words');
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});
