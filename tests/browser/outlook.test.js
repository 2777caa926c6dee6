// What is to come on the real screens: said in words, taken or set aside with one tap, never acted
// on when it is old, and all of it within the page.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { SIZES } from './browser.js';
import { becomeLead, box, boxSays, button, missesNow, peopleIn, sees, tap } from './person.js';
import { looksAhead, sampleOutlook } from './ahead.js';

const MINUTE_MS = 60000;
const PEARS = { product: 'pears-quart', lot: 'pears-hill' };
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge' };
/** Ten stations stand ready, as the sample has them. */
const MORNING = [
  ...['slice', 'skin', 'scald', 'wash-jars', 'roast'].map((station) => ({ order: 'put-away', station })),
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'pare', ...PEARS, amount: 11250 },
  { order: 'recount', station: 'fill', ...PEARS, amount: 4000 },
  { order: 'recount', station: 'canners', ...PEARS, amount: 7000 },
  { order: 'recount', station: 'soften', ...PLUMS, amount: 10000 },
  { order: 'claim', helper: 'maren', station: 'soften' },
  { order: 'claim', helper: 'osk', station: 'wash' },
  { order: 'claim', helper: 'juno', station: 'wash' },
  { order: 'claim', helper: 'edda', station: 'pare' },
];
const PARE = 'Peel, halve and core pears';
SIZES['tablet-zoomed'] = { ...SIZES.tablet, width: 512, height: 384, deviceScaleFactor: 2 };
SIZES.narrow = { ...SIZES.phone, width: 320, height: 568, deviceScaleFactor: 2 };

let people = null;
let sample = null;
before(async () => {
  people = await peopleIn();
  sample = await sampleOutlook();
});
after(() => people.close());

/** A stage of one test's own: moves change who sits where. */
async function onStage(play) {
  const stage = await orchardStage({ orders: MORNING });
  const { cut_off_at: _, ...day } = (await stage.view()).day;
  const at = Date.now() + 290 * MINUTE_MS;
  await stage.order({ order: 'change-day', cut_off_at: at, altitude_ft: day.altitude_ft });
  try {
    await play(stage);
  } finally {
    await stage.stop();
  }
}

async function leadOn(stage, options = {}) {
  const { page, faults } = await people.open(stage.home, { size: 'tablet', ...options });
  await becomeLead(page, stage);
  const seen = await looksAhead(page, options.outlook ?? sample, options);
  await page.goto(stage.at('lead'));
  await page.reload();
  await sees(page, 'What presses');
  return { page, faults, seen };
}

async function helperOn(stage, helper, options = {}) {
  const { page, faults } = await people.open(stage.home, { size: 'phone', ...options });
  await page.evaluate(
    ([day, id]) => localStorage.setItem(`putby.helper.${day}`, id),
    [stage.day, helper],
  );
  const seen = await looksAhead(page, options.outlook ?? sample, options);
  await page.goto(stage.at('helper'));
  await page.reload();
  await page.getByRole('heading', { level: 1 }).waitFor();
  return { page, faults, seen };
}

const sitsAt = (stage, helper, station) =>
  until(async () => (await stage.view()).helpers[helper].station === station, `${helper} sits`);

test('the lead sees finish, reasons and minutes, and one tap makes a move', () =>
  onStage(async (stage) => {
    const { page, faults } = await leadOn(stage);
    await button(page, /^Done about \d\d:\d\d/).waitFor();
    await sees(page, /by \d\d:\d\d in 62 of 100 days/);
    await sees(page, `Finish set by ${PARE} in 74 of 100 days.`);
    await boxSays(page, PARE, 'holds up');
    await boxSays(page, PARE, /sets (the )?finish/);
    await boxSays(page, PARE, '40 min');
    await boxSays(page, 'Wash fruit', 'nothing to do in 6 min');
    await boxSays(page, 'Fill jars', 'cannot go on');
    await sees(page, 'Canners: heat the water now');
    await tap(page, `Do it: Osk to ${PARE}`);
    await sitsAt(stage, 'osk', 'pare');
    await button(page, `Do it: Osk to ${PARE}`).waitFor({ state: 'hidden' });
    assert.deepEqual(faults, []);
  }));

test('a move set aside goes at once, and the board is told which', () =>
  onStage(async (stage) => {
    const { page } = await leadOn(stage);
    const told = page.waitForRequest(
      (request) => request.postDataJSON()?.command?.order === 'set-aside-move',
    );
    await tap(page, `Not now: Osk to ${PARE}`);
    const { command } = (await told).postDataJSON();
    assert.deepEqual(command, {
      order: 'set-aside-move',
      move: 'switch:osk:wash:pare',
      gain_min: 14,
    });
    await button(page, `Not now: Osk to ${PARE}`).waitFor({ state: 'hidden' });
    await button(page, `Do it: Silas to ${PARE}`).waitFor();
  }));

test('the sheet has moves, what-ifs, loads, boxes and the pace', () =>
  onStage(async (stage) => {
    const { page, faults } = await leadOn(stage);
    await tap(page, /^Done about/);
    const sheet = page.getByRole('dialog', { name: 'When we are done' });
    await sees(sheet, /^Done between \d\d:\d\d and \d\d:\d\d, most likely \d\d:\d\d; by /);
    await sees(sheet, `One more helper at ${PARE}`);
    await sees(sheet, '18 min sooner');
    await sees(sheet, '27 min later');
    await sees(sheet, /4 more loads, perhaps 5/);
    await sees(sheet, /Load 1: about \d\d:\d\d/);
    await sees(sheet, /Hill orchard pears: one more box can be opened until/);
    await sees(sheet, /Hedge plums: too late for one more box/);
    await sees(sheet, /74 % of the best possible pace/);
    const chart = sheet.getByRole('img', { name: /^Chart of how the finish was seen/ });
    assert.match(await chart.getAttribute('aria-label'), /Done between .* Seen at \d\d:\d\d/);
    // A grown-up is beside a child who goes to the knives, and the order says who.
    await sees(sheet, 'Edda beside Silas');
    await tap(sheet, `Do it: Silas to ${PARE}`);
    await sitsAt(stage, 'silas', 'pare');
    const { seated } = (await stage.view()).stations.pare;
    assert.equal(seated.silas.beside, 'edda');
    assert.deepEqual(faults, []);
  }));

test('a swap is taken as a swap', () =>
  onStage(async (stage) => {
    const outlook = { ...sample, moves: sample.moves.slice(2), wins: [] };
    const { page } = await leadOn(stage, { outlook });
    await tap(page, /^Do it: Swap: Juno to/);
    await sitsAt(stage, 'juno', 'pare');
    await sitsAt(stage, 'edda', 'wash');
  }));

test('an outlook that is too old says so and proposes nothing', () =>
  onStage(async (stage) => {
    const { page, seen } = await leadOn(stage, { age: 4 * MINUTE_MS });
    await sees(page, /^Seen at \d\d:\d\d, not since/);
    assert.equal(await button(page, /^Do it/).count(), 0);
    assert.equal(await box(page, PARE).getByText('40 min').count(), 0);
    seen.change(sample);
    await button(page, `Do it: Osk to ${PARE}`).waitFor();
    await missesNow(page, /^Seen at/);
    seen.change({ ...sample, moves: [], wins: [], stay: { because: 'nobody-may' } });
    await sees(page, 'Stay as you are.');
    await sees(page, /Nobody can move just now/);
  }));

test('a helper is asked in plain words and goes with one tap', () =>
  onStage(async (stage) => {
    const { page, faults } = await helperOn(stage, 'osk');
    await page.getByRole('heading', { name: `${PARE} needs you` }).waitFor();
    await sees(page, '40 minutes of pears are waiting.');
    assert.equal(await page.getByText(/of 100 days|an hour/).count(), 0);
    await tap(page, 'Yes, I go');
    await page.getByRole('heading', { level: 2, name: PARE }).waitFor();
    await sitsAt(stage, 'osk', 'pare');
    assert.deepEqual(faults, []);
  }));

test('a child is told who stays beside, and may say no', () =>
  onStage(async (stage) => {
    const { page } = await helperOn(stage, 'silas');
    await sees(page, /40 minutes of pears are waiting\. Edda stays beside you\./);
    await tap(page, 'No, I stay');
    await page.getByRole('heading', { name: `${PARE} needs you` }).waitFor({ state: 'hidden' });
    assert.equal((await stage.view()).helpers.silas.station, undefined);
    const first = page.locator('.claims > li').first();
    await sees(first, PARE);
    await sees(first, '40 minutes of pears are waiting');
    await sees(first, 'you like this');
  }));

test('work that runs out is said, with who needs hands', () =>
  onStage(async (stage) => {
    const { page } = await helperOn(stage, 'osk', { outlook: { ...sample, moves: [] } });
    await sees(page, 'Nothing to do here in 6 minutes.');
    await tap(page, `${PARE} needs you: 40 minutes of pears are waiting.`);
    const sheet = page.getByRole('dialog', { name: 'Where will you sit?' });
    await sees(sheet.locator('.claims > li').first(), PARE);
  }));

test('the wall says when, what holds up and where hands are needed, and rates nobody', () =>
  onStage(async (stage) => {
    const { page, faults } = await people.open(stage.home, { size: 'wall' });
    await looksAhead(page, sample);
    await page.goto(stage.at('wall'));
    await page.reload();
    await sees(page, /^Done about \d\d:\d\d$/);
    await sees(page, `Finish set by ${PARE} in 74 of 100 days.`);
    const needs = page.locator('.region-hands');
    await sees(needs, 'Hands needed');
    await sees(needs, PARE);
    await sees(needs, '40 min');
    await button(page, /Turn the sound on and try it$/).waitFor();
    assert.equal(await page.getByRole('button').count(), 1, 'only to be heard');
    assert.equal(await page.getByText(/an hour|Do it|Not now/).count(), 0);
    assert.deepEqual(faults, []);
  }));

test('ten stations and all of the outlook fit the lead in one page', () =>
  onStage(async (stage) => {
    const { page } = await leadOn(stage);
    await button(page, /^Done about/).waitFor();
    const over = () => page.evaluate(() => {
      const by = (one) => one.scrollHeight - one.clientHeight;
      const name = ({ className, tagName }) => className || tagName;
      return [document.documentElement, ...document.querySelectorAll('.kitchen, .side')]
        .filter((one) => by(one) > 0)
        .map((one) => `${name(one)} by ${by(one)}`);
    });
    assert.equal(await page.locator('.station-box').count(), 10);
    // The kitchen is drawn anew once the strip above it has taken its room.
    await until(async () => (await over()).length === 0, 'everything in one page');
  }));

test('nothing leaves the edge at twice the size or on a narrow page', () =>
  onStage(async (stage) => {
    const wide = (page) =>
      page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    for (const size of ['tablet-zoomed', 'narrow', 'phone']) {
      const lead = (await leadOn(stage, { size })).page;
      await button(lead, /^Done about/).waitFor();
      assert.equal(await wide(lead), 0, `lead, ${size}`);
      await tap(lead, /^Done about/);
      await sees(lead, 'What if');
      assert.equal(await wide(lead), 0, `sheet, ${size}`);
      const helper = (await helperOn(stage, 'osk', { size })).page;
      await button(helper, 'Yes, I go').waitFor();
      assert.equal(await wide(helper), 0, `helper, ${size}`);
    }
  }));

test('a proposed move is taken with the keyboard alone', () =>
  onStage(async (stage) => {
    const { page } = await helperOn(stage, 'osk', { size: 'tablet' });
    await button(page, 'Yes, I go').waitFor();
    await page.keyboard.press('Tab');
    for (let step = 0; step < 40; step += 1) {
      const { words, seen } = await page.evaluate(() => {
        const { outlineStyle } = getComputedStyle(document.activeElement);
        return { words: document.activeElement.textContent.trim(), seen: outlineStyle !== 'none' };
      });
      if (words === 'Yes, I go') {
        assert.ok(seen, 'the focus can be seen');
        break;
      }
      await page.keyboard.press('Tab');
    }
    await page.keyboard.press('Enter');
    await sitsAt(stage, 'osk', 'pare');
  }));
