// The board's copies: the lead makes one and saves it; after one was put back every device says so
// and sends again what waited; a damaged day is shown as far as it is sound.

import test from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { orchardStage } from './stage.js';
import { becomeLead, peopleIn } from './person.js';
import { program } from './program.js';

const BOX = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const note = (text) => ({ order: 'note', on: { about: 'day' }, text });
const putby = (stage, ...args) =>
  execFileSync(program(), [...args, '--data', stage.data], { encoding: 'utf8' });

test('the lead makes a copy, saves it, and finds it in the list', async () => {
  const stage = await orchardStage({ orders: [BOX] });
  const people = await peopleIn();
  try {
    const { page, faults } = await people.open(stage.base, { size: 'phone' });
    await becomeLead(page, stage);
    await page.goto(`${stage.base}/#/carry`);
    const copies = page.getByRole('region', { name: 'Copies on this computer' });
    const kept = copies.getByRole('listitem');
    await copies.getByRole('button', { name: 'Make a copy now' }).click();
    await copies.getByText('A copy was made and checked.').waitFor();
    await kept.first().waitFor();
    const coming = page.waitForEvent('download');
    await kept.first().getByRole('link', { name: 'Save it' }).click();
    const said = putby(stage, 'check', await (await coming).path());
    assert.match(said, /All of it is sound/);
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});

test('a copy that was put back is told to everybody, once', async () => {
  const stage = await orchardStage({ orders: [BOX] });
  const people = await peopleIn();
  try {
    const { page } = await people.open(stage.at('wall'), { size: 'desk' });
    const known = () => page.waitForFunction(() => document.title.includes(' · '));
    await known();
    putby(stage, 'backup', `${stage.data}/kept.db`);
    await stage.order(note('after the copy'));
    await stage.end();
    putby(stage, 'restore', `${stage.data}/kept.db`);
    await stage.startAgain();
    await page.getByText('The board was put back to an earlier copy.').waitFor();
    await page.getByRole('button', { name: 'I have looked' }).click();
    await page.getByText('The board was put back').waitFor({ state: 'detached' });
    // Whoever comes now has nothing to be told.
    await page.reload();
    await known();
    assert.equal(await page.getByText('The board was put back').count(), 0);
  } finally {
    await people.close();
    await stage.stop();
  }
});
