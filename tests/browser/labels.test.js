// Labels on paper: the PDF of the browser measured in millimetres, its codes read by another
// program, and only what may be kept labelled.

import test from 'node:test';
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { orchardStage } from './stage.js';
import { onStage, sees, tap } from './person.js';
import { BOILING, lotsOf, putBy } from './put-by.js';
import { SHEETS, PAPERS, placeOn } from '../../web/core/label-sheet.js';

const run = promisify(execFile);
const MM_IN_POINT = 25.4 / 72;
/** Points are told to a hundredth; a printer is far worse. */
const NEAR_MM = 0.2;

/** Prints the page; gives the folder with its PDF. */
async function printed(page) {
  const folder = await mkdtemp(join(tmpdir(), 'putby-labels-'));
  await page.waitForFunction(() =>
    [...document.querySelectorAll('.tag-sheets img')].every((one) => one.complete),
  );
  await writeFile(join(folder, 'labels.pdf'), await page.pdf({ preferCSSPageSize: true }));
  return folder;
}

/** Pages with their size and where each word begins, in mm, by poppler's pdftotext. */
async function wordsOn(folder) {
  const { stdout } = await run('pdftotext', ['-bbox', join(folder, 'labels.pdf'), '-']);
  return stdout.split('<page ').slice(1).map((text) => {
    const number = (name, from) => Number(from.match(new RegExp(`${name}="([\\d.]+)"`))[1]);
    const words = [...text.matchAll(/<word ([^>]*)>([^<]*)</g)].map(([, box, word]) => ({
      word,
      left: number('xMin', box) * MM_IN_POINT,
      top: number('yMin', box) * MM_IN_POINT,
    }));
    return {
      width: number('width', text) * MM_IN_POINT,
      height: number('height', text) * MM_IN_POINT,
      words,
    };
  });
}

/** Labels whose words do not fit, as they are printed. */
async function cutOff(page) {
  await page.emulateMedia({ media: 'print' });
  const found = await page.evaluate(() =>
    [...document.querySelectorAll('.tag-sheets .tag-words')]
      .filter((one) => one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1)
      .map((one) => one.textContent),
  );
  await page.emulateMedia({ media: null });
  return found;
}

/** What a phone reads that looks at the label at a place of the first page: by zbar. */
async function codeIn(folder, sheet, at) {
  const dots = (mm) => String(Math.round((mm * 200) / 25.4));
  const { left, top } = placeOn(sheet, at);
  const cut = ['-x', dots(left), '-y', dots(top), '-W', dots(sheet.width), '-H', dots(sheet.height)];
  const picture = join(folder, `label-${at}`);
  const pdf = join(folder, 'labels.pdf');
  await run('pdftoppm', ['-r', '200', '-png', '-singlefile', ...cut, pdf, picture]);
  const { stdout } = await run('zbarimg', ['--quiet', '--raw', `${picture}.png`]);
  return stdout.trim();
}

const near = (a, b, what) => assert.ok(Math.abs(a - b) <= NEAR_MM, `${what}: ${a} mm, not ${b}`);

/** The place of the sheet that a point lies in, and how far in. */
function placeAt(sheet, { left, top }) {
  for (let at = 0; at < sheet.columns * sheet.rows; at += 1) {
    const place = placeOn(sheet, at);
    const inner = { left: left - place.left, top: top - place.top };
    const inside = (n, most) => n >= 0 && n < most;
    if (inside(inner.left, sheet.width) && inside(inner.top, sheet.height)) return { at, inner };
  }
  return assert.fail(`${left}, ${top} mm lies in no label`);
}

/** Every label lies in its place, none twice; `expected` is what they say, in order. */
async function fitsSheet(folder, sheet, expected, used = 0) {
  const pages = await wordsOn(folder);
  const each = sheet.columns * sheet.rows;
  assert.equal(pages.length, Math.ceil((expected.length + used) / each), `pages of ${sheet.width} mm on ${sheet.paper}`);
  const found = [];
  pages.forEach(({ width, height, words }, page) => {
    const [paperWidth, paperHeight] = PAPERS[sheet.paper];
    near(width, paperWidth, 'the width of the paper');
    near(height, paperHeight, 'the height of the paper');
    for (const one of words.filter(({ word }) => /^\d{6}-[A-Z]+\d+$/.test(word))) {
      const { at, inner } = placeAt(sheet, one);
      const number = page * each + at - used;
      assert.equal(found[number], undefined, `two labels in place ${at}`);
      found[number] = { code: one.word, ...inner };
    }
  });
  assert.deepEqual(found.map(({ code }) => code), expected.map(({ code }) => code));
  // The same label lies in the same way wherever it is: the pitch is that of the sheet.
  found.forEach(({ left, top }, number) => {
    const { code, place } = expected[number];
    const first = found[expected.findIndex((one) => one.code === code && one.place === place)];
    near(left, first.left, `${code} in label ${number} from the left`);
    near(top, first.top, `${code} in label ${number} from above`);
    assert.ok(left > 1 && left < 4, `${code} begins ${left} mm into its label`);
  });
}

test('labels come out in their measures, on A4 and letter, with codes a phone can read', async () => {
  const open = async () => {
    const stage = await orchardStage({ orders: BOILING });
    await putBy(stage);
    return stage;
  };
  await onStage(open, async (stage, people) => {
    const lots = await lotsOf(stage);
    const expected = Object.entries(lots).flatMap(([code, { left }]) =>
      ['pantry', 'freezer', 'refrigerator'].flatMap((place) =>
        Array((left[place] ?? 0) / 1000).fill({ code, place }),
      ),
    );
    // Four quarts sealed and one cold; one pint sealed; three pints sealed and one frozen. The two
    // quarts still on the rack and the broken pint get none.
    assert.equal(expected.length, 10);
    const { page, faults } = await people.open(stage.at('labels'), { size: 'desk' });
    await page.getByRole('heading', { level: 1, name: 'Print labels' }).waitFor();
    await sees(page, '10 labels on 1 sheet');
    await sees(page, /2 not checked yet\. A jar may be shelved only when it sealed/);
    // On the sheet, which is drawn for the printer alone.
    const cold = page.locator('.tag-sheets .tag-unsealed .tag-keep');
    assert.deepEqual(await cold.allTextContents(), [
      'Not for the shelf · keep cold, eat within several days',
    ]);
    for (const [index, sheet] of SHEETS.entries()) {
      await page.getByRole('combobox', { name: /^Sheet/ }).selectOption(String(index));
      const folder = await printed(page);
      await fitsSheet(folder, sheet, expected);
      assert.deepEqual(await cutOff(page), [], `words cut off on ${sheet.width} × ${sheet.height} mm`);
      for (const [at, { code }] of expected.entries()) {
        const address = new RegExp(`^http://[^/]+/#/lot/${stage.day}/${code}$`);
        assert.match(await codeIn(folder, sheet, at), address, `${sheet.width} mm, label ${at}`);
      }
      await rm(folder, { recursive: true });
    }

    // Measures of one's own, on a sheet that has begun: 11 gone of 3 by 4.
    await page.getByRole('combobox', { name: /^Sheet/ }).selectOption('own');
    const own = { paper: 'letter', width: 60.5, height: 50, columns: 3, rows: 4, top: 20, left: 12, gapX: 4, gapY: 3.5 };
    await page.getByRole('combobox', { name: /^Paper/ }).selectOption('letter');
    for (const [name, value] of [
      ['Label width, mm', '60,5'],
      ['Label height, mm', '50'],
      ['Labels side by side', '3'],
      ['Rows of labels', '4'],
      ['Upper margin, mm', '20'],
      ['Left margin, mm', '12'],
      ['Gap between columns, mm', '4'],
      ['Gap between rows, mm', '3.5'],
    ])
      await page.getByLabel(name, { exact: true }).fill(value);
    await page.getByLabel('Draw lines to cut along').uncheck();
    await page.getByLabel('Labels already gone from the first sheet').fill('11');
    await sees(page, '10 labels on 2 sheets');
    const folder = await printed(page);
    await fitsSheet(folder, own, expected, 11);
    await rm(folder, { recursive: true });

    // What cannot be is said, and nothing is printed.
    await page.getByLabel('Label width, mm', { exact: true }).fill('80');
    await sees(page, /^The labels are 44\.1 mm wider than the paper/);
    assert.ok(await page.getByRole('button', { name: 'Print or save as PDF' }).isDisabled());
    await page.getByLabel('Label width, mm', { exact: true }).fill('-3');
    await sees(page, 'Not a measure yet: Label width, mm.');
    await page.getByLabel('Label width, mm', { exact: true }).fill('20');
    await sees(page, /^A label needs at least 38 × 21 mm/);
    assert.deepEqual(faults, []);
  });
});

test('the code of a label opens its lot, where one is taken out and judged', async () => {
  const open = async () => {
    const stage = await orchardStage({ orders: BOILING });
    await putBy(stage);
    return stage;
  };
  await onStage(open, async (stage, people) => {
    const [code] = Object.entries(await lotsOf(stage)).find(([, { left }]) => left.pantry === 4000);
    // Any phone: no lead, no helper.
    const { page, faults } = await people.open(stage.page(`lot/${stage.day}/${code.toLowerCase()}`), { size: 'phone' });
    await page.getByRole('heading', { level: 1, name: 'Pear halves, quarts' }).waitFor();
    await sees(page, '4 in the pantry');
    await sees(page, /^Load 1 in Canner A: .*25 min/);
    await tap(page, 'Take one');
    await sees(page, '3 in the pantry');
    await tap(page, 'Half was left over');
    await sees(page, 'Noted for next year: Half was left over.');
    await tap(page, 'Siphoned');
    await sees(page, 'Siphoned: liquid was lost in the canner');
    const uses = await stage.lead.get('/api/shelf/uses');
    const told = uses.products['pears-quart'];
    assert.deepEqual([told.taken, told.half_left, told.left], [1, 1, 4000]);

    await page.goto(`${stage.base}/#/shelf`);
    await page.getByRole('heading', { level: 1, name: 'The shelf' }).waitFor();
    await tap(page, `Take one: Pear halves, quarts, lot ${code}`);
    await sees(page, `Taken: Pear halves, quarts, lot ${code}.`);
    await page.getByRole('button', { name: 'Take it back', exact: true }).first().click();
    await page.getByText(`Taken: Pear halves, quarts, lot ${code}.`).waitFor({ state: 'hidden' });
    const after = await stage.lead.get('/api/shelf/uses');
    assert.equal(after.products['pears-quart'].taken, 1);
    // Only the lead recalls.
    await page.goto(`${stage.base}/#/lot/${stage.day}/${code}`);
    await sees(page, 'Throw away');
    assert.equal(await page.getByText('Recall the whole load').count(), 0);
    await page.goto(stage.leadAddress);
    await page.getByRole('link', { name: 'Begin a new day' }).waitFor();
    await page.goto(`${stage.base}/#/lot/${stage.day}/${code}`);
    await page.getByText('Recall the whole load').click();
    await page.getByLabel('Why', { exact: true }).last().fill('The gauge read wrong');
    await tap(page, /^Recall \d{6}-/);
    await sees(page, 'Recalled: do not eat');
    assert.equal(await page.getByRole('button', { name: 'Take one' }).count(), 0);
    await page.goto(stage.at('labels'));
    await sees(page, 'Recalled. Do not eat it; see the page of the lot.');
    assert.deepEqual(faults, []);
  });
});
