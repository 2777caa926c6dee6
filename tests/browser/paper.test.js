// A day on paper: the sheets are printed, the power fails, what was struck is typed back in on a
// second board of the same plan, and its counts are those of the first.

import test from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { orchardStage, until } from './stage.js';
import { becomeLead, onStage, peopleIn, sees, tap } from './person.js';

const PEARS = { product: 'pears-quart' };
const PLUMS = { product: 'plum-puree' };
const tally = (station, of) => ({ order: 'tally', station, ...of });
const times = (n, order) => Array.from({ length: n }, () => order);
/** A morning with taps, as it is struck on paper too. */
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', ...PEARS },
  { order: 'open-box', lot: 'pears-hill', ...PEARS },
  { order: 'open-box', lot: 'plums-hedge', ...PLUMS },
  ...times(9, tally('wash', PEARS)),
  ...times(6, tally('pare', PEARS)),
  ...times(3, tally('wash', PLUMS)),
];

/** Words of the pages of a PDF, by an outside reader. */
async function pagesOf(pdf) {
  const folder = await mkdtemp(join(tmpdir(), 'putby-paper-'));
  try {
    const file = join(folder, 'day.pdf');
    await writeFile(file, pdf);
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
    return text.split('\f').filter((page) => page.trim());
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** What was taken and made at each station of each product. */
function totals(view) {
  const list = Object.entries(view.stations).flatMap(([station, { done }]) =>
    Object.entries(done).map(([product, { taken, made }]) => [`${station}/${product}`, taken, made]),
  );
  return list.filter(([, taken, made]) => taken || made).sort();
}

const waiting = (view) =>
  Object.entries(view.stations)
    .flatMap(([station, one]) =>
      Object.entries(one.waiting).map(([product, { amount }]) => [`${station}/${product}`, amount]),
    )
    .sort();

for (const format of ['A4', 'Letter'])
  test(`a page for each station, the people and the lead, on ${format}`, async () => {
    await onStage(orchardStage, async (stage, people) => {
      const { page } = await people.open(stage.at('paper'), { size: 'desk' });
      await page.locator('.paper-page').first().waitFor();
      const view = await stage.view();
      const names = Object.values(view.stations).map(({ name }) => name);
      const pages = await pagesOf(await page.pdf({ format, preferCSSPageSize: false }));
      assert.equal(pages.length, names.length + 2);
      for (const name of names)
        assert.ok(pages.some((text) => text.trim().startsWith(name)), `${name} has a page`);
      const fill = pages.find((text) => text.trim().startsWith(view.stations.fill.name));
      assert.match(fill, /headspace/i);
      assert.ok(!pages.some((text) => text.includes('undefined')));
    });
  });

/** The carriers struck at a station, from the counts of the first board. */
function struck(view, station, product) {
  const { taken } = view.stations[station].done[product];
  const step = view.products[product].route.find((one) => one.station === station);
  return String(taken / step.carrier.holds);
}

test('what was struck is typed back in and gives the same totals on a fresh board', async () => {
  const first = await orchardStage({ orders: MORNING });
  const told = await first.view();
  await first.stop();
  await onStage(orchardStage, async (stage, people) => {
    const { page, faults } = await people.open(stage.home, { size: 'desk' });
    await becomeLead(page, stage);
    await page.goto(stage.at('typed'));
    const { products, lots, stations } = told;
    const box = (lot, product) =>
      page.getByLabel(`${lots[lot].name} for ${products[product].name}: boxes`);
    await box('pears-hill', 'pears-quart').fill('2');
    await box('plums-hedge', 'plum-puree').fill('1');
    const line = (station, product) =>
      page
        .getByRole('region', { name: stations[station].name, exact: true })
        .getByRole('group', { name: `${products[product].name}, 1`, exact: true });
    for (const [station, product] of [
      ['wash', 'pears-quart'],
      ['pare', 'pears-quart'],
      ['wash', 'plum-puree'],
    ])
      await line(station, product)
        .getByLabel(/^Struck/)
        .fill(struck(told, station, product));
    await line('pare', 'pears-quart').getByLabel('By whom').selectOption({ label: 'Osk' });

    // Typed things survive a reload, before and after the look.
    await page.reload();
    assert.equal(await box('pears-hill', 'pears-quart').inputValue(), '2');
    await tap(page, 'Look at what changes');
    await sees(page, 'What will change');
    await page.reload();
    await sees(page, 'What will change');
    assert.deepEqual(totals(await stage.view()), [], 'nothing is sent before it was seen');
    await page.getByRole('button', { name: /^Send now/ }).click();
    await sees(page, /^Kept on the board/);
    const now = await stage.view();
    assert.deepEqual(totals(now), totals(told));
    assert.deepEqual(waiting(now), waiting(told));
    assert.deepEqual(
      Object.values(now.day.notes).map(({ text }) => /^Osk: 6 /.test(text)),
      [true],
    );
    assert.deepEqual(faults, []);
  });
});

test('a refusal in the middle stops it, says why, and nothing typed is lost or counted twice', async () => {
  await onStage(orchardStage, async (stage, people) => {
    const { page } = await people.open(stage.home, { size: 'phone' });
    await becomeLead(page, stage);
    await page.goto(stage.at('typed'));
    const { stations, lots, products } = await stage.view();
    await page
      .getByLabel(`${lots['pears-hill'].name} for ${products['pears-quart'].name}: boxes`)
      .fill('1');
    await page
      .getByRole('region', { name: stations.wash.name, exact: true })
      .getByRole('group', { name: `${products['pears-quart'].name}, 1`, exact: true })
      .getByLabel(/^Struck/)
      .fill('2');
    await tap(page, 'Look at what changes');
    // Meanwhile somebody puts the station away.
    await stage.order({ order: 'put-away', station: 'wash' });
    await page.getByRole('button', { name: /^Send now/ }).click();
    await sees(page, /^Stopped at/);
    await sees(page, 'Wash fruit is put away.');
    await page.reload();
    await sees(page, 'What will change');
    await stage.order({ order: 'set-up', station: 'wash' });
    await page.getByRole('button', { name: /^Send now/ }).click();
    await sees(page, /^Kept on the board/);
    const { done } = (await stage.view()).stations.wash;
    assert.equal(done['pears-quart'].came_in, lots['pears-hill'].box_holds, 'one box, once');
    await tap(page, 'Clear for the next sheets');
    await until(async () => (await page.getByText('Nothing is typed yet.').count()) > 0, 'cleared');
  });
});

test('what is counted on one device is seen on another, and what is short becomes a chore', async () => {
  const stage = await orchardStage();
  const people = await peopleIn();
  try {
    const lead = await people.open(stage.home, { size: 'desk' });
    await becomeLead(lead.page, stage);
    await lead.page.goto(stage.at('gather'));
    const helper = await people.open(stage.at('gather'), { size: 'phone' });
    const lids = (page) => page.locator('.gather-item').filter({ hasText: 'New lids' });
    const field = lids(helper.page).getByLabel('How many there are: New lids');
    await field.fill('12');
    await field.press('Enter');
    await lids(lead.page).getByText('too few').waitFor();
    await tap(lead.page, /^Make chores of what is missing/);
    await sees(lead.page, 'Chores for all of it are open.');
    const chores = Object.values((await stage.view()).chores).map(({ text }) => text);
    assert.ok(chores.some((text) => /^Get \d+ lids more: New lids$/.test(text)), chores.join('; '));
    await lids(helper.page).getByRole('button', { name: 'All there: New lids' }).click();
    await lids(lead.page).getByText('There', { exact: true }).waitFor();
    assert.deepEqual([...lead.faults, ...helper.faults], []);
  } finally {
    await people.close();
    await stage.stop();
  }
});

test('the whole board is saved to a file and read in on a fresh one', async () => {
  const first = await orchardStage({ orders: MORNING });
  const people = await peopleIn();
  try {
    const from = await people.open(first.base, { size: 'desk' });
    await becomeLead(from.page, first);
    await from.page.getByRole('link', { name: 'Keep or move the data' }).click();
    const coming = from.page.waitForEvent('download');
    await from.page.getByRole('link', { name: 'Save the file' }).click();
    const file = await (await coming).path();
    await onStage(orchardStage, async (second, others) => {
      const { page } = await others.open(second.base, { size: 'phone' });
      await becomeLead(page, second);
      await page.goto(`${second.base}/#/carry`);
      await page.getByLabel('The file').setInputFiles(file);
      await tap(page, 'Read it in');
      // Both have opened the same day, each by itself.
      await sees(page, /is another here than in the file/);
      const other = { name: 'half.json', mimeType: 'application/json', buffer: Buffer.from('{') };
      await page.getByLabel('The file').setInputFiles(other);
      await tap(page, 'Read it in');
      await sees(page, /damaged or no export/);
    });
    await from.page.getByLabel('The file').setInputFiles(file);
    await tap(from.page, 'Read it in');
    await sees(from.page, /were here already/);
  } finally {
    await people.close();
    await first.stop();
  }
});
