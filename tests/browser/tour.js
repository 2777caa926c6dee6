// Every screen of the board in every state worth looking at, found without its words, so that it
// works in every language. Not for judging: the accessibility check, the keyboard's journey and the
// pictures each walk through it. Invariant: on the way nothing is ordered; the taps of a walk are
// kept from the server, so each look finds the same kitchen.

import { sampleOutlook, looksAhead } from './ahead.js';
import { pageOf } from './browser.js';
import { LIMIT_MS, fixture, orchardStage } from './stage.js';
import { looksBack } from './told.js';

const JARS = [{ product: 'pears-quart', jars: 5 }];
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge' };
/** A kitchen in full swing: hands, pots and a canner at work, one at rest, one yet to sit down. */
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'soften', ...PLUMS, amount: 20000 },
  { order: 'recount', station: 'fill', product: 'pears-quart', lot: 'pears-hill', amount: 6000 },
  { order: 'recount', station: 'canners', product: 'pears-quart', lot: 'pears-hill', amount: 12000 },
  { order: 'claim', helper: 'maren', station: 'soften' },
  { order: 'fill-pot', station: 'soften', pot: 'pot-1', product: 'plum-puree' },
  { order: 'start-pot', station: 'soften', pot: 'pot-1', minder: 'maren' },
  { order: 'claim', helper: 'juno', station: 'wash' },
  { order: 'tally', station: 'wash', helper: 'juno', product: 'pears-quart' },
  { order: 'claim', helper: 'osk', station: 'canners' },
  { order: 'build-load', load: 'l1', station: 'canners', canner: 'a', jars: JARS },
  { order: 'heat-load', load: 'l1', helper: 'osk' },
  { order: 'claim', helper: 'edda', station: 'fill' },
  { order: 'arrive', helper: 'wren' },
  { order: 'take-break', helper: 'wren' },
  { order: 'recount-supply', supply: 'lids', amount: 1000 },
  { order: 'recount', station: 'freezer', product: 'plum-spread', lot: 'plums-hedge', amount: 6000 },
  { order: 'tally', station: 'freezer', product: 'plum-spread', amount: 6000 },
  { order: 'gather', item: 'lids', have: 12000 },
  { order: 'gather', item: 'altitude', have: 1000, helper: 'osk' },
];

const REFUSED = ['tally', 'claim'].map((order, n) => ({
  id: `0000000${n}-0000-4000-8000-000000000000`,
  command: { order, station: 'wash', helper: 'juno', product: 'pears-quart' },
  problem: {
    status: 409,
    code: 'sample',
    detail: '3 lb of Pear halves, quarts was said, but 0 lb waits at Wash fruit.',
    instead: 'Tally less, or count what is really there and tally again.',
    offer: order === 'tally' ? MORNING[1] : undefined,
  },
}));

const offline = async (page) => {
  await page.context().setOffline(true);
  await page.locator('.line-down').waitFor();
};
const click = (selector, n = 0) => async (page) => {
  await page.locator(selector).nth(n).click();
};
/** The open sheet with all that is folded away in it. */
const unfold = async (page) => {
  await page.locator('dialog[open]').waitFor();
  await page.evaluate(() => {
    for (const fold of document.querySelectorAll('dialog details')) fold.open = true;
  });
};
const sheet = (selector, n = 0) => async (page) => {
  await page.locator(selector).nth(n).click();
  await unfold(page);
};

/** Where the column is short, what runs low stands in the sheet of all chores. */
const openSupply = async (page) => {
  const [more, low] = ['.region-more', '.button-line'].map((one) =>
    page.locator(`.region-chores ${one}`).first(),
  );
  // What fits may still change while the screen fills.
  for (let tries = 0; tries < 10; tries += 1) {
    if (await low.isVisible()) {
      await low.click({ timeout: 1000 }).catch(() => {});
      if (await page.locator('dialog[open]').count()) break;
    } else if (await more.isVisible()) {
      await more.click({ timeout: 1000 }).catch(() => {});
      await page.locator('dialog .button-line').first().click();
      break;
    }
    await page.waitForTimeout(200);
  }
  await unfold(page);
};

const helper = (name, as, more = {}) => ({ name, screen: 'helper', as, ...more });
const lead = (name, then, more = {}) => ({ name: `lead-${name}`, screen: 'lead', then, ...more });
const setUp = (tab, steps = []) => ({
  name: `set-up-${tab}${steps.length ? `-${steps.at(-1)[2]}` : ''}`,
  screen: 'set-up',
  async then(page) {
    await click('.section-tab', tab)(page);
    for (const [selector, n] of steps) await click(selector, n)(page);
  },
});

/** Where a tour goes. `as` is who holds the device, a `guest` is nobody yet; `then` are the steps after it is loaded. */
export const PLACES = [
  { name: 'days', hash: '#/' },
  { name: 'begin', hash: '#/begin' },
  { name: 'prepare-empty', hash: '#/prepare' },
  { name: 'prepare', hash: '#/prepare', draft: true, until: '.prepare-answer' },
  { name: 'join', screen: 'join' },
  { name: 'join-new', screen: 'join', then: click('.join-new') },
  helper('helper-unknown', ''),
  helper('helper-free', 'silas'),
  helper('helper-child', 'bo'),
  helper('helper-resting', 'wren'),
  helper('helper-seated', 'juno'),
  helper('helper-filling', 'edda'),
  helper('helper-pots', 'maren'),
  helper('helper-canner', 'osk'),
  ...[0, 1, 2, 3].map((n) =>
    helper(`helper-sheet-${n}`, 'juno', { then: sheet('.helper-actions button', n) }),
  ),
  helper('helper-refused', 'juno', { refused: true }),
  helper('helper-offline', 'juno', { then: offline }),
  helper('helper-move', 'osk', { ahead: true }),
  helper('helper-choices', 'silas', { ahead: true }),
  lead('plain'),
  lead('ahead', undefined, { ahead: true }),
  lead('outlook', sheet('.finish-strip .card-open'), { ahead: true }),
  lead('supply', openSupply),
  lead('refused', undefined, { refused: true }),
  lead('offline', offline),
  lead('hand', sheet('.box-open', 0)),
  lead('pots', sheet('.station-box:has(.box-timer) .box-open', 0)),
  lead('canner', sheet('.station-box:has(.box-timer) .box-open', 2)),
  lead('person', sheet('.person-chip', 0)),
  lead('child', sheet('.person-chip', 6)),
  lead('day', sheet('.top-tools .button-act')),
  lead('devices', async (page) => {
    await sheet('.top-tools .button-act')(page);
    await page.locator('dialog .way-in').click();
    await page.locator('dialog .join-code img').waitFor();
  }),
  { name: 'door', hash: '#/', guest: true, until: '.door-form' },
  { name: 'wall', screen: 'wall' },
  { name: 'wall-ahead', screen: 'wall', ahead: true },
  { name: 'wall-offline', screen: 'wall', then: offline },
  { name: 'seals', screen: 'seals' },
  setUp(0),
  ...[1, 2, 3, 4, 5, 6].flatMap((tab) => [
    setUp(tab, [['.thing-head', 0, 'first']]),
    setUp(tab, [['.thing-add .thing-head', 0, 'add']]),
  ]),
  setUp(7),
  { name: 'look-back', screen: 'look-back', until: '.depth-chart canvas' },
  { name: 'look-back-told', screen: 'look-back', told: true, until: '.depth-chart canvas' },
  {
    name: 'look-back-course',
    screen: 'look-back',
    told: true,
    until: '.course-do',
    async then(page) {
      await click('.course-do')(page);
      await page.locator('.course-band').first().waitFor();
    },
  },
  { name: 'learned', hash: '#/learned', told: true, until: '.lesson' },
  ...['correct', 'forget'].map((name, n) => ({
    name: `learned-${name}`,
    hash: '#/learned',
    told: true,
    until: '.lesson button',
    then: sheet('.lesson button', n),
  })),
  { name: 'labels', screen: 'labels', until: '.tag-sketch' },
  { name: 'shelf', hash: '#/shelf', until: '.shelf-product' },
  { name: 'lot', hash: (day) => `#/lot/${day}/260912-F1`, until: '.lot-places li' },
  { name: 'gather', screen: 'gather', until: '.gather-list' },
  { name: 'paper', screen: 'paper', until: '.paper-page' },
  { name: 'typed', screen: 'typed', until: '.typed-station' },
  { name: 'carry', hash: '#/carry' },
];

/** What the invented family says before its day, as this device would have kept it. */
async function draftText() {
  const { start_at: _start, cut_off_at: _cut, ...ask } = await fixture('prepare/family.json');
  return JSON.stringify({ start: '09:00', cut: '16:30', ask });
}

/** A server with the kitchen that every tour goes through. */
export const tourStage = () => orchardStage({ orders: MORNING });

/** A page at a place; `prepare(context)` is called before it is opened. */
export async function visit(browser, stage, place, { size, scheme, prepare, lang } = {}) {
  const made = await pageOf(browser, stage.base, { size, scheme, lang });
  const { page, context } = made;
  page.setDefaultTimeout(LIMIT_MS);
  await prepare?.(context);
  await context.addInitScript(
    ([day, who, refusals, draft]) => {
      if (draft) localStorage.setItem('putby.choice.prepare', draft);
      if (who) localStorage.setItem(`putby.helper.${day}`, who);
      if (refusals) localStorage.setItem(`putby.refusals.${day}`, JSON.stringify(refusals));
      localStorage.setItem('putby.sound', 'off');
    },
    [stage.day, place.as, place.refused ? REFUSED : null, place.draft ? await draftText() : null],
  );
  if (!place.guest)
    await context.request.post(`${stage.base}/api/me`, { data: { lead_key: stage.key } });
  if (place.ahead) await looksAhead(page, await sampleOutlook());
  if (place.told) await looksBack(page);
  // Never answered: what is tapped on the way changes nothing.
  await page.route('**/commands', () => {});
  const hash = typeof place.hash === 'function' ? place.hash(stage.day) : place.hash;
  await page.goto(hash ? `${stage.base}/${hash}` : stage.at(place.screen));
  await page.locator('h1').first().waitFor();
  await page.locator('main, .main').first().waitFor();
  // The day is known: until then every screen is the same one that waits.
  if (!place.hash && !place.until)
    await page.waitForFunction(() => document.title.includes(' · '));
  if (place.until) await page.locator(place.until).first().waitFor();
  // What is fetched when it is first shown has come.
  const whole = () =>
    page.waitForFunction(() => !document.querySelector('[role=status].frame.soft'));
  await whole();
  await place.then?.(page);
  await whole();
  return made;
}
