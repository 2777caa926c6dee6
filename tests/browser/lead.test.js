// The lead's screen: every set-up and correction within two taps, each with its way back, ten
// stations at a glance without scrolling, nothing that moves under a finger.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { orchardStage, until } from './stage.js';
import { becomeLead, box, button, peopleIn, sees } from './person.js';
import { looksAhead, sampleOutlook } from './ahead.js';

const PEARS = { product: 'pears-quart', lot: 'pears-hill' };
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge' };
const POT = { station: 'soften', pot: 'pot-1' };
const AWAY = ['slice', 'skin', 'scald', 'wash-jars', 'roast'];
/** Ten stations stand ready, seven people are there, a pot cooks. */
const MORNING = [
  ...AWAY.map((station) => ({ order: 'put-away', station })),
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'pare', ...PEARS, amount: 11250 },
  { order: 'recount', station: 'canners', ...PEARS, amount: 7000 },
  { order: 'recount', station: 'soften', ...PLUMS, amount: 10000 },
  { order: 'claim', helper: 'maren', station: 'soften' },
  { order: 'fill-pot', ...POT, product: 'plum-puree' },
  { order: 'start-pot', ...POT, minder: 'maren' },
  { order: 'claim', helper: 'osk', station: 'wash' },
  { order: 'claim', helper: 'edda', station: 'pare' },
];

let people = null;
let stage = null;
before(async () => {
  people = await peopleIn();
  stage = await orchardStage({ orders: MORNING });
});
after(async () => {
  await people.close();
  await stage.stop();
});

async function leadOn(options = {}) {
  const opened = await people.open(stage.home, { size: 'tablet', ...options });
  await becomeLead(opened.page, stage);
  const seen = options.outlook && (await looksAhead(opened.page, options.outlook));
  await opened.page.goto(stage.at('lead'));
  await opened.page.reload();
  await sees(opened.page, 'What presses');
  return { ...opened, seen };
}

const dialog = (page) => page.getByRole('dialog').last();
const inBox = (name) => (page) => button(box(page, name), name);
const named = (name) => (page) => page.getByRole('button', { name, exact: true });
const like = (name) => (page) => page.getByRole('button', { name });
const folded = (name) => (page) => dialog(page).locator('summary').filter({ hasText: name });
const inDialog = (name) => (page) => dialog(page).getByRole('button', { name, exact: true });
const dialogLike = (name) => (page) => dialog(page).getByRole('button', { name });
const DAY = named('Day and fruit');
const PARE = 'Peel, halve and core pears';

/** What a lead does, the taps to the control that does it, and that control. */
const WAYS = [
  ['open a box', [DAY], inDialog('Open it')],
  ['add a station', [DAY, inDialog('+ Add a station')], inDialog('Add a station')],
  ['add a product', [DAY, inDialog('+ Add a product')], inDialog('Add a product')],
  ['add a lot', [DAY, inDialog('+ Add a lot')], inDialog('Add a lot')],
  ['add a supply', [DAY, inDialog('+ Add a supply')], inDialog('Add a supply')],
  ['add a helper', [DAY, inDialog('+ Add a helper')], inDialog('Add a helper')],
  ['add a shared thing', [DAY, inDialog('+ Add a shared thing')], inDialog('Add a shared thing')],
  ['change a product', [DAY, inDialog('Pear halves, quarts')], inDialog('Save')],
  ['change a lot', [DAY, inDialog('Hill orchard pears')], inDialog('Save')],
  ['more of a supply', [DAY, dialogLike(/lids/i)], inDialog('Add')],
  ['count a supply', [DAY, dialogLike(/lids/i)], inDialog('Set the count')],
  ['change a shared thing', [DAY, inDialog('burners')], inDialog('Save')],
  ['cut-off', [DAY, dialogLike(/^Name, end of work/)], (page) => page.getByLabel(/^Work is over at/)],
  ['altitude', [DAY, dialogLike(/^Name, end of work/)], (page) => page.getByLabel(/^Altitude/)],
  ['rule for ages', [DAY, inDialog('Rule for ages')], inDialog('Save')],
  ['split a lot', [DAY, folded('Split unopened boxes')], inDialog('Split')],
  ['set a station up', [DAY], dialogLike(/^Set up Scald/)],
  ['ask for something', [DAY, folded('We need')], inDialog('Lids')],
  ['write a note', [DAY, folded('Write something down')], inDialog('Keep the note')],
  ['close the day', [DAY, folded('Close the day')], inDialog('Close the day now')],
  ['correct a count', [inBox(PARE), folded('Recount')], inDialog('Set the count')],
  ['divert', [inBox(PARE), folded('Divert')], inDialog('Move it there')],
  ['send back', [inBox(PARE), folded('Send back')], inDialog('Send back')],
  ['name part of a lot', [inBox(PARE), folded('Give part of a lot')], inDialog('Split')],
  ['tally', [inBox(PARE)], dialogLike(/^One .* done/)],
  ['give a seat', [inBox(PARE), folded('Give a seat')], inDialog('Silas')],
  ['put a station away', [inBox('Fill tubs'), folded('Put away')], inDialog('Put away')],
  ['change a station', [inBox(PARE), folded('Change or take away')], inDialog('Save')],
  ['pots', [inBox('Cook plums soft')], dialogLike(/Still runs/)],
  ['canners', [inBox('Canners')], dialogLike(/^(Yes, it is so|Put into the canner)$/)],
  ['move a helper', [like(/^Osk/)], dialogLike(new RegExp(`^${PARE}`))],
  ['swap', [like(/^Osk/), folded('Swap seats')], inDialog('Swap seats')],
  ['break', [like(/^Osk/)], inDialog('Break')],
  ['goes home', [like(/^Osk/)], inDialog('Goes home')],
  ['change a helper', [like(/^Osk/), folded('Change or take away')], inDialog('Save')],
  ['take back', [named('Take back')], (page) => dialog(page).getByRole('heading')],
];

test('every set-up and correction is at most two taps away', async () => {
  const { page, faults } = await leadOn();
  for (const [what, taps, control] of WAYS) {
    assert.ok(taps.length <= 2, what);
    for (const tap of taps) {
      await tap(page)
        .first()
        .click()
        .catch((error) => assert.fail(`${what}: ${error.message.split('\n')[0]}`));
    }
    await control(page)
      .first()
      .waitFor({ state: 'visible' })
      .catch(() => assert.fail(`${what}: what does it cannot be seen after ${taps.length} taps`));
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  }
  assert.deepEqual(faults, []);
});

/** Taps, what must then hold of the day, and again after it was taken back. */
const PLACES = [
  ['a move', [like(/^Osk/), dialogLike(new RegExp(`^${PARE}`))], (v) => v.helpers.osk.station, 'pare', 'wash'],
  ['a break', [like(/^Osk/), inDialog('Break')], (v) => v.helpers.osk.station, undefined, 'wash'],
  [
    'a station put away',
    [inBox('Fill tubs'), folded('Put away'), inDialog('Put away')],
    (v) => v.stations.bag.set_up,
    false,
    true,
  ],
  [
    'a station set up',
    [DAY, dialogLike(/^Set up Scald/)],
    (v) => v.stations.scald.set_up,
    true,
    false,
  ],
];

test('what the lead did is taken back with two taps', async () => {
  const { page } = await leadOn();
  for (const [what, taps, look, done, before] of PLACES) {
    for (const tap of taps) await tap(page).first().click();
    await until(async () => look(await stage.view()) === done, what);
    await page.keyboard.press('Escape');
    await named('Take back')(page).first().click();
    await dialogLike(/^Take back: /)(page).first().click();
    await until(async () => look(await stage.view()) === before, `${what} taken back`);
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  }
});

/** What sticks out of its box or lies over its neighbour, and words smaller than 14 px. */
const faultsOfLayout = (page, leastPx) =>
  page.evaluate((least) => {
    const bad = [];
    const says = (one) => one.textContent.trim().slice(0, 30);
    const shown = (one) => one.checkVisibility({ visibilityProperty: true });
    for (const one of document.querySelectorAll('body *')) {
      if (!shown(one) || one.closest('.only-read, svg')) continue;
      if (one.matches('.only-read, .box-signs .person-name, .region-list')) continue;
      const style = getComputedStyle(one);
      if (style.display === 'inline' || style.clipPath !== 'none') continue;
      if (one.scrollWidth > one.clientWidth + 1) bad.push(`wide: ${one.className} ${says(one)}`);
      if (style.overflowY === 'hidden' && one.scrollHeight > one.clientHeight + 1)
        bad.push(`high: ${one.className} ${says(one)}`);
      if (style.textOverflow === 'ellipsis' || style.webkitLineClamp !== 'none')
        bad.push(`cut: ${one.className} ${says(one)}`);
      const own = [...one.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
      if (own && Number.parseFloat(style.fontSize) < least - 0.1)
        bad.push(`small: ${style.fontSize} ${says(one)}`);
    }
    const rooms = '.kitchen-inside, .region-list, .people, .station-box, .top, .wall-foot, .main';
    for (const room of document.querySelectorAll(rooms)) {
      const boxes = [...room.children]
        .filter((one) => shown(one) && !one.matches('svg.ways, dialog, .box-running:empty'))
        .filter((one) => getComputedStyle(one).display !== 'contents')
        .map((one) => [one, one.getBoundingClientRect()])
        .filter(([, { width, height }]) => width > 0 && height > 0);
      boxes.forEach(([one, a], index) =>
        boxes.slice(index + 1).forEach(([other, b]) => {
          const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
          const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
          if (across > 1 && down > 1) bad.push(`over: ${says(one)} | ${says(other)}`);
        }),
      );
    }
    for (const one of [document.documentElement, ...document.querySelectorAll('.kitchen, .side')])
      if (one.scrollHeight > one.clientHeight + 1) bad.push(`scrolls: ${one.className}`);
    return bad;
  }, leastPx);

/** Names of 24 letters everywhere, in one word or several, as a language with long words has. */
function longNames(text) {
  const message = JSON.parse(text);
  const LONG = ['Pfirsichentkernungsstelle', 'Johannisbeerenwaschtisch', 'Obst putzen und schneiden'];
  const rename = (map) =>
    Object.values(map ?? {}).forEach((one, index) => {
      if (one?.name !== undefined) one.name = LONG[index % LONG.length].slice(0, 24);
    });
  const { view } = message;
  if (view) for (const map of [view.stations, view.helpers]) rename(map);
  return JSON.stringify(message);
}

async function withLongNames(page) {
  await page.routeWebSocket(/\/live/, (socket) => {
    const server = socket.connectToServer();
    server.onMessage((text) => socket.send(longNames(text)));
  });
}

const SIZES_SEEN = [
  ['lead', 1024, 768, 14],
  ['lead', 1280, 800, 14],
  ['wall', 1920, 1080, 24],
  ['wall', 1280, 720, 16],
];

for (const [screen, width, height, least] of SIZES_SEEN) {
  for (const long of [false, true])
    test(`${screen} at ${width} x ${height}: nothing cut${long ? ', with long names' : ''}`, async () => {
      const opened = await people.open(stage.home, { size: 'tablet' });
      const { page } = opened;
      await page.setViewportSize({ width, height });
      await becomeLead(page, stage);
      if (long) await withLongNames(page);
      else await looksAhead(page, await sampleOutlook());
      await page.goto(stage.at(screen));
      await page.reload();
      await page.locator('.station-box').nth(9).waitFor();
      if (!long) await page.locator(screen === 'lead' ? '.finish-words' : '.wall-done').waitFor();
      await until(async () => (await faultsOfLayout(page, least)).length === 0, 'a tidy screen').catch(
        async () => {
          if (process.env.PUTBY_SHOTS)
            await page.screenshot({ path: `${process.env.PUTBY_SHOTS}/${screen}-${width}-${long}.png` });
          assert.deepEqual(await faultsOfLayout(page, least), []);
        },
      );
    });
}

test('a chore, a warning and the finish move nothing on the screen', async () => {
  const sample = await sampleOutlook();
  const { page, seen } = await leadOn({ outlook: sample });
  await page.locator('.finish-words').waitFor();
  const places = () =>
    page.evaluate(() =>
      [...document.querySelectorAll('.station-box, .region, .region-people')].map((one) => {
        const { x, y, width, height } = one.getBoundingClientRect();
        return [x, y, width, height].map(Math.round).join(' ');
      }),
    );
  const before = await places();
  for (const text of ['Clean jars', 'Floor wiped: it is wet', 'The next box, and a long story'])
    await stage.order({ order: 'raise-chore', chore: `c-${text.length}`, text });
  await stage.order({ order: 'leave', helper: 'edda' });
  await page.getByText('Clean jars').first().waitFor({ state: 'attached' });
  assert.deepEqual(await places(), before);
  seen.change({ ...sample, finish: undefined });
  await sees(page, 'No end in sight');
  assert.deepEqual(await places(), before);
  await stage.order({ order: 'claim', helper: 'edda', station: 'pare' });
});
