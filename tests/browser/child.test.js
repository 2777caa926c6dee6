// A child who cannot read, on a phone: pictures, dots, a voice that reads, and every tap answered
// before the server has.

import test from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { orchardStage, until } from './stage.js';
import { deviceOf, holdsAnswers, listens } from './device.js';
import { button, joinAs, missesNow, peopleIn, sees, tap } from './person.js';

const AXE = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const VOICES = [
  { name: 'Far away', lang: 'en-US', localService: false, default: true },
  { name: 'On the phone', lang: 'en-US', localService: true, default: false },
];

/** A phone in the hand of Bo, who is six, before anything is tapped. */
async function onPhone(run, { voices = VOICES } = {}) {
  const stage = await orchardStage({ orders: [PEARS] });
  const people = await peopleIn();
  try {
    const { page, context, faults } = await people.open(stage.home, { size: 'phone' });
    await listens(context, { voices });
    const net = await holdsAnswers(page);
    await page.goto(stage.at('join'));
    await page.reload();
    await run({ stage, page, net });
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
}

/** Bo sits at the wash, with Maren beside. */
async function washes(page) {
  await joinAs(page, 'Bo');
  await tap(page, /^Wash fruit/);
  await tap(page, /Maren/);
  await button(page, /^One colander done/).waitFor();
}

const facts = async (stage) => (await stage.events()).map(({ event }) => event.fact);
const waits = async (stage) => (await stage.view()).stations.wash.waiting['pears-quart']?.amount;

test('a tap shows at once, with sound and shaking, while the answer is still on its way', () =>
  onPhone(async ({ stage, page, net }) => {
    await washes(page);
    await sees(page, '6 colanders waiting');
    const before = await deviceOf(page);
    net.hold();
    await tap(page, /^One colander done/);
    await sees(page, '1 tap on the way …');
    await sees(page, '1 colander done here');
    await sees(page, '5 colanders waiting');
    assert.equal(await page.locator('.counter-coming').count(), 1);
    const after = await deviceOf(page);
    assert.ok(after.notes > before.notes, 'it is heard');
    assert.ok(after.shakes > before.shakes, 'it is felt');
    assert.equal(await waits(stage), 18000, 'the board has not heard of it');
    net.release();
    await sees(page, /Counted at \d\d:\d\d: 3\slb/);
    await sees(page, '5 colanders waiting');
    assert.equal(await page.locator('.counter-coming').count(), 0);
    assert.equal(await waits(stage), 15000);
  }));

test('a tap that never left is taken back without a trace, one on its way is undone after it', () =>
  onPhone(async ({ stage, page, net }) => {
    await washes(page);
    net.hold();
    const left = net.asked();
    await tap(page, /^One colander done/);
    await tap(page, /^One colander done/);
    await sees(page, '2 taps on the way …');
    await tap(page, 'Take back');
    await sees(page, '1 tap on the way …');
    await sees(page, '5 colanders waiting');
    await tap(page, 'Take back');
    await sees(page, '6 colanders waiting');
    assert.equal(net.asked() - left, 1, 'only the first had left');
    net.release();
    await until(async () => (await facts(stage)).includes('tally-undone'), 'the undo');
    const counted = (await facts(stage)).filter((one) => one.startsWith('tall'));
    assert.deepEqual(counted, ['tallied', 'tally-undone']);
    await sees(page, '6 colanders waiting');
    assert.equal(await waits(stage), 18000);
  }));

test('the last counted tap is taken back though somebody else has tapped since', () =>
  onPhone(async ({ stage, page }) => {
    await washes(page);
    await tap(page, /^One colander done/);
    await sees(page, /Counted at/);
    await stage.order({ order: 'claim', helper: 'osk', station: 'wash' });
    await stage.order({ order: 'tally', station: 'wash', product: 'pears-quart', helper: 'osk' });
    await sees(page, '4 colanders waiting');
    await tap(page, 'Take back');
    await sees(page, '5 colanders waiting');
    await until(async () => (await facts(stage)).includes('tally-undone'), 'the undo');
    assert.equal((await stage.view()).stations.wash.undo.helper, 'osk');
    assert.equal(await waits(stage), 15000);
  }));

test('the phone reads what to do with its own voice, by itself and on a tap', () =>
  onPhone(async ({ page }) => {
    await joinAs(page, 'Bo');
    const spoken = async () => (await deviceOf(page)).spoken;
    await until(async () => (await spoken()).length > 0, 'it to ask where to sit');
    assert.match((await spoken()).at(-1).text, /^Where will you sit\?/);
    await tap(page, /^Wash fruit/);
    await tap(page, /Maren/);
    await button(page, /^One colander done/).waitFor();
    const said = /You are at Wash fruit\. When one colander is done, tap the big picture\./;
    await until(async () => said.test((await spoken()).at(-1).text), 'what to do at the wash');
    const n = (await spoken()).length;
    await tap(page, 'Read it to me');
    const all = await spoken();
    assert.equal(all.length, n + 1);
    assert.deepEqual([...new Set(all.map((one) => one.voice))], ['On the phone']);
  }));

test('without a voice of its own there is no picture to tap for it, and all the rest works', () =>
  onPhone(
    async ({ page }) => {
      await washes(page);
      assert.equal(await button(page, 'Read it to me').count(), 0);
      await tap(page, /^One colander done/);
      await sees(page, '5 colanders waiting');
      assert.deepEqual((await deviceOf(page)).spoken, []);
    },
    { voices: VOICES.slice(0, 1) },
  ));

test('sounds are switched off for this phone, pictures too, and it remembers', () =>
  onPhone(async ({ page }) => {
    await washes(page);
    assert.equal(await page.locator('.with-pictures').count(), 1);
    await tap(page, 'This device');
    const sheet = page.getByRole('dialog', { name: 'This device' });
    await sheet.getByRole('checkbox', { name: 'Sound and buzz when I tap' }).uncheck();
    await sheet.getByRole('checkbox', { name: 'Large pictures, few words' }).uncheck();
    await tap(sheet, 'Close');
    await page.reload();
    await button(page, /^One colander done/).waitFor();
    assert.equal(await page.locator('.with-pictures').count(), 0);
    await tap(page, /^One colander done/);
    await sees(page, '5 colanders waiting');
    const { notes, shakes } = await deviceOf(page);
    assert.deepEqual({ notes, shakes }, { notes: 0, shakes: 0 });
  }));

test('a break of five minutes, and back to the same seat with the same grown-up', () =>
  onPhone(async ({ stage, page }) => {
    await washes(page);
    await tap(page, 'Break');
    await tap(page, /^5 minutes/);
    await sees(page, /^[45]:\d\d$/);
    assert.equal((await stage.view()).helpers.bo.presence, 'resting');
    await page.reload();
    await sees(page, /^[45]:\d\d$/);
    await tap(page, 'Back to Wash fruit');
    await sees(page, 'with Maren beside');
    assert.equal((await stage.view()).stations.wash.seated.bo.beside, 'maren');
  }));

test('when the old seat is taken, a break ends at the choice of another', () =>
  onPhone(async ({ stage, page }) => {
    await washes(page);
    await tap(page, 'Break');
    await tap(page, /^10 minutes/);
    await button(page, 'Back to Wash fruit').waitFor();
    for (const helper of ['osk', 'edda', 'juno'])
      await stage.order({ order: 'claim', helper, station: 'wash' });
    await tap(page, 'I am rested');
    await sees(page, 'Where will you sit?');
  }));

test('something else, and asking for lids, are a tap each and can be taken back', () =>
  onPhone(async ({ stage, page, net }) => {
    await washes(page);
    await tap(page, 'We need …');
    net.hold();
    await tap(page.getByRole('dialog'), 'Lids');
    await sees(page, 'Asked for: Lids');
    net.release();
    const asked = async () =>
      Object.values((await stage.view()).chores ?? {}).filter(({ text }) => text === 'Lids').length;
    await until(async () => (await asked()) === 1, 'the kitchen to hear of it');
    await tap(page.locator('.notice'), 'Take back');
    await missesNow(page, 'Asked for: Lids');
    await until(async () => (await asked()) === 0, 'the kitchen to forget it');

    await tap(page, 'Something else');
    await tap(page.getByRole('dialog'), /^Wash jars/);
    await tap(page.getByRole('dialog'), /Edda/);
    await page.getByRole('heading', { level: 2, name: 'Wash jars' }).waitFor();
    const { bo } = (await stage.view()).stations['wash-jars'].seated;
    assert.equal(bo.beside, 'edda');
  }));

/** What is too wide for the page, too small for a finger, or a barrier to somebody. */
async function troubles(page) {
  const seen = await page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    const small = [...document.querySelectorAll('button, a.button, summary')].filter((one) => {
      const { width, height } = one.getBoundingClientRect();
      return width > 0 && (width < 47.5 || height < 47.5);
    });
    return [
      ...(scrollWidth > clientWidth ? [`${scrollWidth} wide in ${clientWidth}`] : []),
      ...small.map((one) => `too small: ${one.textContent.trim()}`),
    ];
  });
  await page.evaluate(AXE);
  const barriers = await page.evaluate(
    async (rules) => (await globalThis.axe.run(document, { runOnly: rules })).violations,
    RULES,
  );
  return [...seen, ...barriers.map(({ id, nodes }) => `${id}: ${nodes[0].target}`)];
}

const SHEETS = [/^Too soft$/, /^We need/, /^Something else$/, /^Chores/, /^Break$/, /^This device$/];

/** Every state of the screen, each given to `look` with its name. */
async function everywhere(page, look) {
  await page.getByText(/^Not for/).click();
  await look('choosing a seat');
  await tap(page, /^Wash fruit/);
  await look('choosing a grown-up');
  await tap(page, /Maren/);
  await button(page, /^One colander done/).waitFor();
  await tap(page, /^One colander done/);
  await sees(page, /Counted at/);
  await look('seated');
  for (const name of SHEETS) {
    await tap(page, name);
    const sheet = page.getByRole('dialog');
    await sheet.waitFor();
    await look(`the sheet ${name}`);
    await tap(sheet, 'Close');
    await sheet.waitFor({ state: 'hidden' });
  }
  await tap(page, 'Break');
  await tap(page, /^20 minutes/);
  await button(page, 'Back to Wash fruit').waitFor();
  await look('resting');
}

for (const [words, width, text, scheme] of [
  ['a phone at 200 %', 195, '100%', 'light'],
  ['a narrow phone', 320, '100%', 'dark'],
  ['a phone with letters twice as large', 390, '200%', 'light'],
  ['a tablet', 1024, '100%', 'dark'],
])
  test(`every state fits ${words}, for fingers and for everyone`, () =>
    onPhone(async ({ page }) => {
      await page.setViewportSize({ width, height: Math.max(422, (width * 3) / 4) });
      await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
      await joinAs(page, 'Bo');
      await page.evaluate((size) => {
        document.documentElement.style.fontSize = size;
      }, text);
      await everywhere(page, async (where) => assert.deepEqual(await troubles(page), [], where));
    }));
