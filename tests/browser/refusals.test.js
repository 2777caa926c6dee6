// What the board refuses it says in words, with what to do instead; where it can, it offers that
// as a button.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { wireTo } from './wire.js';
import { button, joinAs, missesNow, peopleIn, sees, tap } from './person.js';

const ONE_COLANDER = {
  order: 'open-box',
  lot: 'pears-hill',
  product: 'pears-quart',
  amount: 3000,
};

async function staged(run) {
  const stage = await orchardStage({ orders: [ONE_COLANDER] });
  const people = await peopleIn();
  const wire = await wireTo(stage.base);
  try {
    const { page, faults } = await people.open(stage.at('join', wire.base), { size: 'phone' });
    await joinAs(page, 'Osk');
    await run(stage, page, wire);
    assert.deepEqual(faults, []);
  } finally {
    wire.close();
    await people.close();
    await stage.stop();
  }
}

test('a tap for more than waits is refused in words, and one tap on the offer puts it right', () =>
  staged(async (stage, page, wire) => {
    await tap(page, /^Wash fruit/);
    await button(page, /^One colander done/).waitFor();
    await wire.cut();
    await tap(page, /^One colander done/);
    await tap(page, /^One colander done/);
    await sees(page, '2 taps kept here, not counted yet');
    await wire.mend();
    const refusal = page.getByRole('region', { name: 'Not done' });
    await sees(refusal, 'Not done: Tally at Wash fruit.');
    await sees(refusal, '3 lb of Pear halves, quarts was said, but 0 lb waits at Wash fruit.');
    await sees(refusal, 'Tally less, or count what is really there and tally again.');
    await tap(refusal, 'Recount Pear halves, quarts at Wash fruit');
    await missesNow(page, 'Not done: Tally at Wash fruit.');
    const pared = async () => (await stage.view()).stations.pare.waiting?.['pears-quart'];
    await until(async () => (await pared())?.amount === 6000, 'both colanders to be counted');
  }));

test('a claim of a seat taken meanwhile is refused by name, with free seats elsewhere', () =>
  staged(async (stage, page, wire) => {
    await button(page, /^Cook plums soft.*1 seat free/).waitFor();
    await wire.cut();
    await stage.order({ order: 'claim', helper: 'maren', station: 'soften' });
    await tap(page, /^Cook plums soft/);
    await wire.mend();
    const refusal = page.getByRole('region', { name: 'Not done' });
    await sees(refusal, 'Not done: Osk sits down at Cook plums soft.');
    await sees(refusal, /Maren took the last seat at Cook plums soft .* ago\./);
    await sees(refusal, /has \d free seats/);
    await tap(refusal, 'All right');
    await missesNow(page, 'Not done: Osk sits down at Cook plums soft.');
    const full = button(page, /^Cook plums soft.*no seat free/);
    await full.waitFor();
    assert.equal(await full.isDisabled(), true);
  }));

test('a child is shown which need of the house rule keeps it from a station', async () => {
  const stage = await orchardStage();
  const people = await peopleIn();
  try {
    const { page } = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(page, 'Bo');
    await page.getByText(/^Not for Bo/).click();
    const shut = button(page, /^Cook plums soft.*House rule: heat and steam, not at age 6/);
    await shut.waitFor();
    assert.equal(await shut.isDisabled(), true);
    await tap(page, /^Wash fruit.*with a grown-up beside/);
    await sees(page, 'Which grown-up stays beside Bo at Wash fruit?');
    await tap(page, /Maren/);
    await sees(page, 'with Maren beside');
    assert.equal((await stage.view()).stations.wash.seated.bo.beside, 'maren');
  } finally {
    await people.close();
    await stage.stop();
  }
});
