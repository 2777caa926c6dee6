// The evening: the lead closes the day, and everybody looks back at it.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { orchardStage } from './stage.js';
import { becomeLead, follow, peopleIn, sees, tap } from './person.js';

const tally = (station) => ({ order: 'tally', station, helper: 'osk', product: 'pears-quart' });
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'claim', helper: 'osk', station: 'wash' },
  tally('wash'),
  tally('wash'),
  { order: 'switch', helper: 'osk', station: 'pare' },
  tally('pare'),
];

/** How many points of the chart have ink on them. */
const inked = (page) =>
  page.evaluate(() => {
    const canvas = document.querySelector('.chart canvas');
    const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
    let points = 0;
    for (let at = 3; at < data.length; at += 4) points += data[at] > 0 ? 1 : 0;
    return points;
  });

async function closeDay(page) {
  await tap(page, 'Day and fruit');
  const sheet = page.getByRole('dialog');
  await sheet.getByText('Close the day', { exact: true }).click();
  await tap(sheet, 'Close the day now');
  await sees(page, 'This day is closed. It can be looked at, not changed.');
  await follow(sheet, 'Look back');
}

test('closing the day gives the look back with a drawn chart and a table to keep', async () => {
  const stage = await orchardStage({ orders: MORNING });
  const people = await peopleIn();
  try {
    const { page, faults } = await people.open(stage.home, { size: 'desk' });
    await becomeLead(page, stage);
    await page.goto(stage.at('lead'));
    await closeDay(page);
    await page.getByRole('heading', { level: 1, name: 'Look back' }).waitFor();
    await sees(page, 'Orchard day · 2026-09-12');
    await page.getByRole('img', { name: /^Chart of queue depth over the day/ }).waitFor();
    await page.waitForFunction(() => document.querySelector('.chart canvas')?.width > 0);
    await page.waitForFunction(() => document.fonts.status === 'loaded');
    assert.ok((await inked(page)) > 500, 'lines and axes are drawn');

    await page.locator('.depth-chart canvas').waitFor();
    await sees(page, 'Osk gave');
    await sees(page, 'Three things to try next time');
    await tap(page, 'Work it out');
    await sees(page, /There is no work to foretell an end of\.|Likely between/);

    const saving = page.waitForEvent('download');
    await follow(page, 'Save all figures (JSON)');
    const figures = JSON.parse(await readFile(await (await saving).path(), 'utf8'));
    const wash = figures.stations.wash;
    const times = ['busy', 'starved', 'blocked', 'unstaffed', 'paused', 'put_away'];
    assert.equal(
      times.reduce((sum, of) => sum + wash[`${of}_ms`], 0),
      figures.open_ms,
    );

    const coming = page.waitForEvent('download');
    await follow(page, 'Save as a table (CSV)');
    const download = await coming;
    assert.match(download.suggestedFilename(), /\.csv$/);
    const text = await readFile(await download.path(), 'utf8');
    assert.match(text, /Pear halves, quarts/);
    assert.match(text, /Peel, halve and core pears/);
    assert.deepEqual(faults, []);
    assert.equal((await stage.view()).day.phase, 'closed');
  } finally {
    await people.close();
    await stage.stop();
  }
});
