// Every screen by day and by lamp light: no barrier that axe-core can find, no error in the
// console, nobody outside asked, the content policy kept.

import test, { after, before } from 'node:test';
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { orchardStage } from './stage.js';
import { becomeLead, peopleIn, tap } from './person.js';
import { looksAhead, sampleOutlook } from './ahead.js';

const AXE = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const POT = { station: 'soften', pot: 'pot-1' };
const PLUMS = { product: 'plum-puree', lot: 'plums-hedge', amount: 10000 };
const JARS = { product: 'pears-quart', lot: 'pears-hill', amount: 7000 };
const MORNING = [
  { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' },
  { order: 'recount', station: 'soften', ...PLUMS },
  { order: 'recount', station: 'canners', ...JARS },
  { order: 'claim', helper: 'maren', station: 'soften' },
  { order: 'fill-pot', ...POT, product: 'plum-puree' },
  { order: 'start-pot', ...POT, minder: 'maren' },
  { order: 'claim', helper: 'osk', station: 'wash' },
  { order: 'tally', station: 'wash', helper: 'osk', product: 'pears-quart' },
  { order: 'claim', helper: 'edda', station: 'fill' },
];
const SCREENS = [
  { name: 'days', hash: () => '#/' },
  { name: 'begin', hash: () => '#/begin' },
  { name: 'join' },
  { name: 'helper, seated', screen: 'helper', as: 'osk' },
  { name: 'helper, at the pots', screen: 'helper', as: 'maren' },
  { name: 'helper, free', screen: 'helper', as: 'silas' },
  { name: 'lead' },
  { name: 'wall' },
  { name: 'helper with a move', screen: 'helper', as: 'osk', ahead: true, until: '.own-move' },
  {
    name: 'helper, free, with choices',
    screen: 'helper',
    as: 'silas',
    ahead: true,
    until: '.claim-good',
  },
  { name: 'lead, looking ahead', screen: 'lead', ahead: true, until: '.finish-strip' },
  { name: 'wall, looking ahead', screen: 'wall', ahead: true, until: '.wall-finish' },
  { name: 'set-up' },
  { name: 'look-back', until: '.chart canvas' },
];

let stage = null;
let people = null;
before(async () => {
  stage = await orchardStage({ orders: MORNING });
  people = await peopleIn();
});
after(async () => {
  await people.close();
  await stage.stop();
});

async function violations(page) {
  const found = await page.evaluate(
    async (rules) => (await globalThis.axe.run(document, { runOnly: rules })).violations,
    RULES,
  );
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((one) => one.target).join(' | ')}`);
}

async function visit(scheme, { name, screen = name, hash, as, ahead, until }) {
  const { page, context, faults } = await people.open(stage.base, { size: 'tablet', scheme });
  await context.addInitScript({ content: AXE });
  await context.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`);
    });
  });
  await becomeLead(page, stage);
  page.on('response', (answer) => {
    if (answer.status() >= 400) faults.push(`${answer.status()}: ${answer.url()}`);
  });
  if (as)
    await page.evaluate(
      ([day, helper]) => localStorage.setItem(`putby.helper.${day}`, helper),
      [stage.day, as],
    );
  if (ahead) await looksAhead(page, await sampleOutlook());
  await page.goto(hash ? `${stage.base}/${hash()}` : stage.at(screen));
  const document = await page.reload();
  assert.match(document.headers()['content-security-policy'], /default-src 'self'/);
  await page.getByRole('heading', { level: 1 }).waitFor();
  if (until) await page.waitForSelector(until);
  return { page, context, faults };
}

async function look(scheme, screen) {
  const { page, context, faults } = await visit(scheme, screen);
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(faults, []);
  await context.close();
}

for (const scheme of ['light', 'dark']) {
  for (const screen of SCREENS)
    test(`${screen.name} is clean in ${scheme}`, () => look(scheme, screen));

  test(`the sheet of a station on the lead screen is clean in ${scheme}`, async () => {
    const { page, context, faults } = await visit(scheme, { name: 'lead' });
    await tap(page, 'Canners');
    await page.getByRole('dialog', { name: 'Canners' }).waitFor();
    assert.deepEqual(await violations(page), []);
    assert.deepEqual(faults, []);
    await context.close();
  });

  test(`the sheet of what is to come is clean in ${scheme}`, async () => {
    const look = { name: 'lead', ahead: true, until: '.finish-strip' };
    const { page, context, faults } = await visit(scheme, look);
    await tap(page, /^Done about/);
    await page.getByRole('dialog', { name: 'When we are done' }).waitFor();
    assert.deepEqual(await violations(page), []);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
