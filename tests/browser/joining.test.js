// Joining: from the code that is really shown to a seat on the board, alone, as a child, with two
// on one tablet, and from one device to another.

import test from 'node:test';
import assert from 'node:assert/strict';
import { click, deviceAt, found, launchFirefox, shows } from './fox.js';
import { decoded, pictureOfBlocks } from './code.js';
import { blankStage, fixture, orchardStage, until } from './stage.js';
import { becomeLead, button, follow, joinAs, onStage, sees, tap, write } from './person.js';

const joinAddress = (stage) => stage.at('join');
const picture = (place, name) => button(place, `Sign: ${name}`);

async function addMyself(page, { sign, name, age }) {
  await tap(page, 'I am new');
  await picture(page, sign).click();
  await write(page, 'textbox', 'My name', name);
  await button(page, age).click();
}

test(
  'the code on the wall is read from a picture of it and leads to a page on which a child joins',
  () => onStage(orchardStage, async (stage, people) => {
    const wall = await people.open(stage.at('wall'), { size: 'wall' });
    await wall.page.waitForFunction(() => {
      const image = document.querySelector('.join-code img');
      return image?.complete && image.naturalWidth > 0;
    });
    const address = await decoded(await wall.page.screenshot(), 'png');
    assert.equal(address, joinAddress(stage));

    const phone = await people.open(address, { size: 'phone' });
    await addMyself(phone.page, { sign: 'bee', name: 'Pim', age: 'up to 8' });
    await phone.page.getByRole('heading', { level: 1, name: 'Pim' }).waitFor();
    const { pim } = (await stage.view()).helpers;
    assert.equal(pim.sign, 'bee');
    assert.equal(pim.presence, 'here');
    assert.ok(pim.age <= 8);
    assert.deepEqual([...wall.faults, ...phone.faults], []);
  }),
);

test(
  'the code on the lead page leads to the same page',
  () => onStage(orchardStage, async (stage, people) => {
    const { page } = await people.open(stage.home, { size: 'tablet' });
    await becomeLead(page, stage);
    await page.goto(stage.at('lead'));
    await tap(page, 'Day and fruit');
    await page.getByText('Code for joining').click();
    const image = page.getByRole('img', { name: /^Picture code/ });
    await image.scrollIntoViewIfNeeded();
    await page.waitForFunction(() => document.querySelector('.join-code img').naturalWidth > 0);
    assert.equal(await decoded(await page.screenshot(), 'png'), joinAddress(stage));
  }),
);

test(
  'the code in the terminal leads to a page that offers the one open day to join at once',
  () => onStage(orchardStage, async (stage, people) => {
    // The picture below it is the lead's.
    const helpers = stage.said.slice(0, stage.said.findIndex((line) => line.startsWith('The lead')));
    const address = await decoded(pictureOfBlocks(helpers), 'pgm');
    assert.equal(address, stage.home);
    const { page, faults } = await people.open(address, { size: 'phone' });
    await joinAs(page, 'Wren');
    const arrived = async () => (await stage.view()).helpers.wren.presence === 'here';
    await until(arrived, 'Wren, who was expected later, to be here');
    // The device remembers: the typed address leads on to where its helper was.
    await page.goto('about:blank');
    await page.goto(address);
    await page.getByRole('heading', { level: 1, name: 'Wren' }).waitFor();
    assert.deepEqual(faults, []);
  }),
);

test(
  'a name that is missing or there already, and a picture that is gone, are answered clearly',
  () => onStage(orchardStage, async (stage, people) => {
    const { page } = await people.open(stage.at('join'), { size: 'phone' });
    await tap(page, 'I am new');
    assert.equal(await button(page, 'Sign: hen, taken').isDisabled(), true, 'the hen is Wren');
    await picture(page, 'bell').click();
    await button(page, '9 to 12').click();
    await sees(page, 'Please type your name, then tap your age again.');

    await write(page, 'textbox', 'My name', ' wren');
    await button(page, '9 to 12').click();
    await sees(page, 'Wren is on the list already.');

    await write(page, 'textbox', 'My name', 'Wren B');
    const plan = { name: 'Ola', sign: 'bell', age: 30, limits: [], likes: [], here: true };
    await stage.order({ order: 'add-helper', helper: 'ola', plan });
    await sees(page, 'Somebody has just taken that picture.');
    await picture(page, 'moon').click();
    // What was typed is still there. A child who cannot write is called by the picture.
    assert.equal(await page.getByRole('textbox', { name: 'My name' }).inputValue(), 'Wren B');
    await write(page, 'textbox', 'My name', '');
    await button(page, '9 to 12').click();
    await tap(page, /Just call me “Moon”/);
    await page.getByRole('heading', { level: 1, name: 'Moon' }).waitFor();
    const { moon } = (await stage.view()).helpers;
    assert.deepEqual([moon.sign, moon.age], ['moon', 9]);
  }),
);

test(
  'whoever tries to add a name that is theirs already joins as themselves',
  () => onStage(orchardStage, async (stage, people) => {
    const { page } = await people.open(stage.at('join'), { size: 'phone' });
    const before = Object.keys((await stage.view()).helpers).length;
    await addMyself(page, { sign: 'bell', name: 'Silas', age: '9 to 12' });
    await tap(page, 'I am Silas');
    await page.getByRole('heading', { level: 1, name: 'Silas' }).waitFor();
    assert.equal(Object.keys((await stage.view()).helpers).length, before);
  }),
);

test(
  'with every picture taken a newcomer is known by the first letter',
  () => onStage(orchardStage, async (stage, people) => {
    const { page } = await people.open(stage.at('join'), { size: 'phone' });
    await tap(page, 'I am new');
    const signs = page.getByRole('button', { name: /^Sign: \w+$/ });
    await signs.first().waitFor();
    const names = await signs.evaluateAll((found) =>
      found.map((one) => one.getAttribute('aria-label').slice(6)),
    );
    assert.ok(names.length > 20, `${names.length} signs`);
    for (const sign of names) {
      const plan = { name: `Guest ${sign}`, sign, age: 30, limits: [], likes: [], here: true };
      await stage.order({ order: 'add-helper', helper: `guest-${sign}`, plan });
    }
    await sees(page, 'All pictures are taken');
    await write(page, 'textbox', 'My name', 'Zia');
    await button(page, '18 or more').click();
    const title = page.getByRole('heading', { level: 1, name: 'Zia' });
    await title.waitFor();
    assert.equal(await title.locator('svg text').textContent().then((one) => one.trim()), 'Z');
  }),
);

test(
  'a helper goes on at another device in two taps, and the old one says so and takes them back',
  () => onStage(orchardStage, async (stage, people) => {
    const tablet = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(tablet.page, 'Juno');
    const phone = await people.open(stage.home, { size: 'phone' });
    await button(phone.page, /Juno.*on another device/).waitFor();
    await joinAs(phone.page, 'Juno');

    await sees(tablet.page, 'Juno is now on another device.');
    await tablet.page.reload();
    await sees(tablet.page, 'Juno is now on another device.');
    await tap(tablet.page, 'Juno is here again');
    await tablet.page.getByRole('heading', { level: 1, name: 'Juno' }).waitFor();
    await sees(phone.page, 'Juno is now on another device.');
    assert.deepEqual([...tablet.faults, ...phone.faults], []);
  }),
);

test(
  'two who share a tablet change places with one tap, and one who leaves it leaves the other be',
  () => onStage(orchardStage, async (stage, people) => {
    const tablet = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(tablet.page, 'Bo');
    await follow(tablet.page, 'Not me');
    await joinAs(tablet.page, 'Silas');
    await tap(tablet.page, 'Change to Bo');
    await tablet.page.getByRole('heading', { level: 1, name: 'Bo' }).waitFor();
    await tablet.page.reload();
    await tap(tablet.page, 'Change to Silas');
    await tablet.page.getByRole('heading', { level: 1, name: 'Silas' }).waitFor();

    const phone = await people.open(stage.at('join'), { size: 'phone' });
    await joinAs(phone.page, 'Bo');
    await button(tablet.page, 'Change to Bo').waitFor({ state: 'hidden' });
    await tablet.page.getByRole('heading', { level: 1, name: 'Silas' }).waitFor();
  }),
);

test(
  'a claim of a device that is out of touch is heard when it is back',
  () => onStage(orchardStage, async (stage, people) => {
    const tablet = await people.open(stage.at('join'), { size: 'tablet' });
    await joinAs(tablet.page, 'Juno');
    const phone = await people.open(stage.at('join'), { size: 'phone' });
    await button(phone.page, /Juno.*on another device/).waitFor();
    await phone.context.setOffline(true);
    await joinAs(phone.page, 'Juno');
    await tablet.page.getByRole('heading', { level: 1, name: 'Juno' }).waitFor();
    await phone.context.setOffline(false);
    await sees(tablet.page, 'Juno is now on another device.');
    await phone.page.getByRole('heading', { level: 1, name: 'Juno' }).waitFor();
  }),
);

test(
  'before the first day a device waits, and joins as soon as the lead has begun one',
  () => onStage(blankStage, async (stage, people) => {
    const { page, faults } = await people.open(stage.home, { size: 'phone' });
    await sees(page, 'No day yet.');
    await sees(page, 'As soon as the lead begins one, you can join it here.');
    await stage.lead.openDay(await fixture('demo/day.json'));
    await joinAs(page, 'Osk');
    assert.deepEqual(faults, []);
  }),
);

test(
  'a day that is over takes nobody in and shows the way to what was made',
  () => onStage(orchardStage, async (stage, people) => {
    await stage.order({ order: 'close-day' });
    const { page, faults } = await people.open(stage.at('join'), { size: 'phone' });
    await sees(page, 'This day is over.');
    assert.equal(await button(page, 'I am new').count(), 0);
    await follow(page.getByRole('main'), 'Look back');
    await page.getByRole('heading', { level: 1 }).waitFor();
    assert.match(page.url(), /look-back$/);
    await page.goto(stage.base);
    await sees(page, 'No day is going on now.');
    assert.deepEqual(faults, []);
  }),
);

test('in Firefox the code on the wall is read and a newcomer joins by it', async () => {
  const stage = await orchardStage();
  const browser = await launchFirefox();
  try {
    const { page: wall } = await deviceAt(browser, stage.at('wall'));
    await found(wall, () => document.querySelector('.join-code img')?.naturalWidth > 0);
    const address = await decoded(Buffer.from(await wall.screenshot()), 'png');
    assert.equal(address, joinAddress(stage));
    const { page: phone } = await deviceAt(browser, address);
    await click(phone, 'I am new');
    await click(phone, 'Sign: rabbit');
    const name = await found(phone, () =>
      document.querySelector('input[autocomplete="given-name"]'),
    );
    await name.asElement().type('Ilse');
    await click(phone, '18 or more');
    await shows(phone, 'Ilse', 'h1');
    assert.equal((await stage.view()).helpers.ilse.sign, 'rabbit');
  } finally {
    await browser.close();
    await stage.stop();
  }
});
