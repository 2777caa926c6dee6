// The wall, read from three metres: depth, timers, progress, and how to join.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage } from './stage.js';
import { boxSays, peopleIn, sees, tap } from './person.js';

const POT = { station: 'soften', pot: 'pot-1' };
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge', amount: 10000 };
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'soften', ...PLUMS },
  { order: 'claim', helper: 'maren', station: 'soften' },
  { order: 'fill-pot', ...POT, product: 'plum-puree' },
  { order: 'start-pot', ...POT, minder: 'maren' },
  { order: 'claim', helper: 'osk', station: 'wash' },
];

test('the wall shows depth, people, timers, progress, join code, and follows', async () => {
  const stage = await orchardStage({ orders: MORNING });
  const people = await peopleIn();
  try {
    const { page, faults } = await people.open(stage.at('wall'), { size: 'wall' });
    await boxSays(page, 'Wash fruit', '6 colanders · 18 lb');
    await boxSays(page, 'Wash fruit', 'Osk');
    await boxSays(page, 'Cook plums soft', /stir Blue 12-quart pot\s+\d+:\d\d/);
    // Product by product, as the day's plan says.
    await sees(page, '0 of 21 quarts');
    await sees(page, '0 of 7 quarts');
    const code = page.getByRole('img', { name: 'Picture code with the address for joining' });
    await code.waitFor();
    assert.ok(await code.evaluate((image) => image.decode().then(() => image.naturalWidth > 0)));
    await sees(page, stage.base);
    // Its one control is for the browser: a first touch opens the sound, and then there is none.
    assert.equal(await page.getByRole('button').count(), 1);
    await tap(page, /Turn the sound on and try it$/);
    await page.getByRole('button').waitFor({ state: 'detached' });

    await stage.order({ order: 'tally', station: 'wash', helper: 'osk', product: 'pears-quart' });
    await boxSays(page, 'Wash fruit', '5 colanders · 15 lb');
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});
