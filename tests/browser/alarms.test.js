// Alarms and hurts over several devices: an alarm widens, is taken by a named person and falls silent
// everywhere; a call that someone is hurt reaches every screen until an adult is there; what a
// device cannot do by itself (sound, staying awake) is said and mended.

import test from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { becomeLead, boxSays, button, joinAs, missesNow, onStage, sees, tap } from './person.js';

/** Seconds of the day in a second of the test: a stir of four minutes is due after twelve seconds. */
const SPEED = 20;
const POT = { station: 'soften', pot: 'pot-1' };
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge', amount: 10000 };
const FILLED = [
  { order: 'recount', station: 'soften', ...PLUMS },
  { order: 'fill-pot', ...POT, product: 'plum-puree' },
];

const staged = (options, run) => onStage(() => orchardStage(options), run);

async function helperPage(stage, people, name, size = 'tablet') {
  const made = await people.open(stage.at('join'), { size });
  await joinAs(made.page, name);
  return made.page;
}

async function leadPage(stage, people, size = 'tablet') {
  const { page } = await people.open(stage.home, { size });
  await becomeLead(page, stage);
  await page.goto(stage.at('lead'));
  return page;
}

const wallPage = async (stage, people) =>
  (await people.open(stage.at('wall'), { size: 'wall' })).page;

/**
 * A phone at which Osk stands and that nobody has touched since it was loaded; `seat` is its heading.
 * Until the day has come another page stands there, and takes the focus with it when it goes.
 */
async function untouched(stage, people) {
  const { page } = await people.open(stage.home, { size: 'phone' });
  await page.evaluate((day) => localStorage.setItem(`putby.helper.${day}`, 'osk'), stage.day);
  await page.goto(stage.at('helper'));
  await page.reload();
  const seat = page.getByRole('heading', { level: 1, name: /Osk/ });
  await seat.waitFor();
  return { page, seat };
}

const ringing = (page) => page.getByRole('alert', { name: 'Alarms' });
const silent = (page) => ringing(page).waitFor({ state: 'hidden' });

test('an alarm widens, is taken by a named person on one device and falls silent on all', () =>
  staged({ speed: SPEED, orders: FILLED }, async (stage, people) => {
    const [maren, edda, bo, lead, wall] = [
      await helperPage(stage, people, 'Maren', 'phone'),
      await helperPage(stage, people, 'Edda', 'phone'),
      await helperPage(stage, people, 'Bo', 'phone'),
      await leadPage(stage, people),
      await wallPage(stage, people),
    ];
    const before = await lead.evaluate(() => document.querySelector('.main').scrollHeight);
    await stage.order({ order: 'start-pot', ...POT, minder: 'maren' });
    await stage.order({ order: 'stirred', ...POT, helper: 'maren', thickness: 'thick' });
    await Promise.all([
      sees(ringing(maren), 'Asked: Maren'),
      sees(ringing(lead), 'Asked: Maren'),
      sees(ringing(wall), 'Asked: Maren'),
      sees(ringing(edda), 'Asked: everybody who may go there'),
      sees(ringing(bo), 'Tell Maren at once'),
      sees(ringing(wall), 'Asked: everyone. Children tell a grown-up.'),
    ]);
    assert.equal(await button(ringing(bo), 'I see to it').count(), 0);
    assert.equal(await ringing(wall).locator('button, select').count(), 0);
    // It lies over the lead's screen and makes nothing on it longer.
    assert.equal(
      await lead.evaluate(() => document.querySelector('.main').scrollHeight),
      before,
    );

    await tap(ringing(edda), 'I see to it');
    await Promise.all([
      sees(edda, 'You see to it:'),
      sees(lead, 'Edda sees to it:'),
      sees(wall, 'Edda sees to it:'),
      sees(maren, 'Edda sees to it:'),
      ...[maren, edda, bo, lead, wall].map(silent),
    ]);
    assert.deepEqual(
      Object.values((await stage.view()).alarms).map(({ by }) => by),
      ['edda'],
    );

    // She does not stir: after four minutes it rings again, and the lead names somebody.
    await sees(ringing(lead), /stir Blue 12-quart pot/);
    await tap(ringing(lead), /^Who sees to it/);
    await tap(ringing(lead), 'Osk');
    await Promise.all([sees(wall, 'Osk sees to it:'), ...[edda, maren, wall].map(silent)]);
    await stage.order({ order: 'stirred', ...POT, helper: 'osk', thickness: 'thin' });
    await Promise.all([lead, wall, maren].map((page) => missesNow(page, 'Osk sees to it:')));
    const taken = (await stage.events()).filter(({ event }) => event?.fact === 'alarm-taken');
    assert.deepEqual(
      taken.map(({ event }) => event.helper),
      ['edda', 'osk'],
    );
  }));

test('a backup is named for a pot and has it when the minder takes a break', () =>
  staged({ orders: FILLED }, async (stage, people) => {
    const maren = await helperPage(stage, people, 'Maren');
    await tap(maren, /^Cook plums soft/);
    await tap(maren, 'Heat on');
    await sees(maren, 'Maren minds it; nobody steps in.');
    await tap(maren, 'Nobody steps in yet: who would?');
    await tap(maren, 'Osk');
    await sees(maren, 'Maren minds it; Osk steps in.');
    await stage.order({ order: 'take-break', helper: 'maren' });
    assert.equal((await stage.view()).stations.soften.pots['pot-1'].minder, 'osk');
  }));

const calls = (page) => page.getByRole('alert', { name: 'Someone is hurt' });
const dialog = (page) => page.getByRole('dialog', { name: 'Someone is hurt' });

test('one tap calls everybody, shows what to do first, frees the seat, until an adult is there', () =>
  staged({ orders: FILLED }, async (stage, people) => {
    await stage.order({ order: 'claim', helper: 'osk', station: 'soften' });
    await stage.order({ order: 'start-pot', ...POT, minder: 'osk', backup: 'maren' });
    const [bo, maren, lead, wall] = [
      await helperPage(stage, people, 'Bo', 'phone'),
      await helperPage(stage, people, 'Maren'),
      await leadPage(stage, people),
      await wallPage(stage, people),
    ];
    const before = await stage.view();
    await tap(bo, 'Someone is hurt');
    await sees(dialog(bo), 'In doubt, call your local emergency number.');
    for (const kind of ['Burn', 'Scald or steam', 'Cut', 'Fall'])
      assert.equal(await button(dialog(bo), kind).count(), 1);
    await Promise.all([maren, lead, wall].map((page) => calls(page).waitFor()));
    assert.equal(await calls(wall).locator('button, select').count(), 0);

    await tap(dialog(bo), 'Scald or steam');
    await tap(dialog(bo), 'Osk');
    await Promise.all(
      [maren, lead, wall].map((page) =>
        sees(calls(page), 'Osk is hurt · at Cook plums soft · Scald or steam'),
      ),
    );
    const during = await stage.view();
    assert.equal(during.helpers.osk.station, undefined);
    assert.equal(during.stations.soften.pots['pot-1'].minder, 'maren');
    assert.deepEqual(during.lots, before.lots);

    // A child cannot say that they are with them.
    assert.equal(await button(dialog(bo), 'I am with them').count(), 0);
    await tap(calls(maren), 'I am with them');
    await Promise.all([maren, lead, wall].map((page) => calls(page).waitFor({ state: 'hidden' })));
    await sees(dialog(bo), 'This call is over.');
  }));

test('a mistaken call is taken back and the seat given back', () =>
  staged({}, async (stage, people) => {
    await stage.order({ order: 'claim', helper: 'osk', station: 'pare' });
    const lead = await leadPage(stage, people);
    const bo = await helperPage(stage, people, 'Bo', 'phone');
    await tap(lead, 'Someone is hurt');
    await tap(dialog(lead), 'Osk');
    await until(async () => !(await stage.view()).helpers.osk.station, 'the seat to be freed');
    await calls(bo).waitFor();
    await tap(dialog(lead), 'Nobody is hurt: take it back');
    await calls(bo).waitFor({ state: 'hidden' });
    assert.equal((await stage.view()).helpers.osk.station, 'pare');
  }));

test('sound that is locked or off is said, and one button opens it', () =>
  staged({}, async (stage, people) => {
    const { page, seat } = await untouched(stage, people);
    const notes = page.getByRole('complementary', { name: 'This device' });
    await sees(notes, 'No sound yet: this browser waits for a touch.');
    await tap(notes, 'Turn the sound on and try it');
    await sees(notes, /^Two tones\. Heard nothing\?/);
    assert.equal(await notes.getByText('No sound yet').count(), 0);
    await page.evaluate(() => localStorage.setItem('putby.sound', 'off'));
    await page.reload();
    await seat.waitFor();
    await sees(notes, 'Alarms are silent on this device.');
    await tap(notes, 'Turn the sound on and try it');
    await sees(notes, /^Two tones/);
    assert.equal(await page.evaluate(() => localStorage.getItem('putby.sound')), 'on');
    // The answer outlives the page it was given on.
    const at = (screen) => page.evaluate((to) => location.assign(to), `#/day/${stage.day}/${screen}`);
    await at('join');
    await seat.waitFor({ state: 'detached' });
    await at('helper');
    await seat.waitFor();
    await sees(notes, /^Two tones/);
  }));

test('what lies under a finger stands still: a button that the press itself makes needless does its work', () =>
  staged({}, async (stage, people) => {
    for (const [hold, release] of [
      [(page) => page.mouse.down(), (page) => page.mouse.up()],
      [(page) => page.keyboard.down('Space'), (page) => page.keyboard.up('Space')],
    ]) {
      const { page } = await untouched(stage, people);
      const notes = page.getByRole('complementary', { name: 'This device' });
      const opens = button(notes, 'Turn the sound on and try it');
      await opens.focus();
      await opens.hover();
      await hold(page);
      // The page is drawn anew every half second.
      await page.waitForTimeout(800);
      await release(page);
      await sees(notes, /^Two tones/);
      assert.equal(await opens.count(), 0);
      await page.close();
    }
  }));

test('what rests on a screen or its space bar without an end does not hold it', () =>
  staged({}, async (stage, people) => {
    const { page } = await people.open(stage.at('wall'), { size: 'wall' });
    await page.getByRole('heading', { level: 1 }).hover();
    await page.mouse.down();
    await stage.order({ order: 'claim', helper: 'juno', station: 'wash' });
    await boxSays(page, 'Wash fruit', /Juno/);
    await page.mouse.up();
    let over = false;
    const seen = async () => {
      await stage.order({ order: 'claim', helper: 'osk', station: 'wash' });
      await boxSays(page, 'Wash fruit', /Osk/);
    };
    const rests = async () => {
      while (!over) await page.keyboard.down('Space');
    };
    const shown = seen().finally(() => {
      over = true;
    });
    await Promise.all([shown, rests()]);
    await page.keyboard.up('Space');
  }));

test('without a wake lock, as on plain http, a moving picture plays after a touch', () =>
  staged({}, async (stage, people) => {
    const { page, faults } = await people.open(stage.at('wall'), { size: 'tablet' });
    await page.addInitScript(() =>
      Object.defineProperty(Navigator.prototype, 'wakeLock', { get: () => undefined }),
    );
    await page.reload();
    const sleepy = button(page, /This screen may fall asleep\./);
    await page.getByRole('heading', { level: 1 }).waitFor();
    // The sound waits for the same touch, and is said first.
    await button(page, /this browser waits for a touch\./).waitFor();
    assert.equal(await sleepy.count(), 0);
    await page.getByRole('heading', { level: 1 }).click();
    const video = page.locator('video.awake');
    await video.waitFor({ state: 'attached' });
    const time = () => video.evaluate((one) => (one.paused ? -1 : one.currentTime));
    const first = await until(async () => ((await time()) > 0 ? time() : 0), 'the picture to play');
    await until(async () => (await time()) > first, 'the picture to play on');
    assert.equal(await video.evaluate((one) => one.videoWidth), 16);
    await sleepy.waitFor({ state: 'detached' });
    assert.deepEqual(faults, []);
  }));
