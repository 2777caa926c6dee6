// A family that never saw the program: from an empty folder to the first fruit, by tapping only.

import test from 'node:test';
import assert from 'node:assert/strict';
import { blankStage } from './stage.js';
import {
  becomeLead,
  boxSays,
  button,
  follow,
  peopleIn,
  sees,
  tap,
  write,
} from './person.js';

async function chooseSmallKitchen(page, name) {
  await follow(page, 'Begin a new day');
  await page.getByRole('radio', { name: /^Small kitchen/ }).check();
  await write(page, 'textbox', /^What is the day called/, name);
  await tap(page, 'Begin this day');
}

async function addFruit(page, { name, produce, pounds, box }) {
  await tap(page, /Which fruit came in/);
  const sheet = page.getByRole('dialog');
  await tap(sheet, produce);
  await write(sheet, 'textbox', /^Name/, name);
  await write(sheet, 'textbox', 'Came in, in pounds', pounds);
  await write(sheet, 'textbox', 'One box holds, in pounds', box);
  await tap(sheet, 'Add a lot');
  await sheet.waitFor({ state: 'detached' });
  await button(page, /1 lot of fruit came in/).waitFor();
}

async function openBox(page) {
  await boxSays(page, 'Wash fruit', 'nothing waits');
  await tap(page, /Open the first box/);
  await tap(page.getByRole('dialog'), 'Open it');
  await tap(page.getByRole('dialog'), 'Close');
  await boxSays(page, 'Wash fruit', '6 colanders · 18 lb');
  await page.getByText('Before the first box').waitFor({ state: 'detached' });
}

async function joinByAdding(page, name, age) {
  await tap(page, 'I am new');
  await tap(page, 'Sign: bell');
  await write(page, 'textbox', 'My name', name);
  await tap(page, age);
  await page.getByRole('heading', { level: 1, name }).waitFor();
}

test('a new family gets from an empty folder to the first counted fruit by tapping', async () => {
  const stage = await blankStage();
  const people = await peopleIn();
  try {
    const lead = await people.open(stage.home, { size: 'desk' });
    await sees(lead.page, 'No day yet.');
    await becomeLead(lead.page, stage);
    await chooseSmallKitchen(lead.page, 'Pears and plums');
    await sees(lead.page, 'Please give the altitude, or say that you do not know it yet.');
    await write(lead.page, 'spinbutton', /^Altitude of the kitchen/, '640');
    await tap(lead.page, 'Begin this day');
    await sees(lead.page, 'Before the first box');
    assert.equal(await lead.page.getByText(/Nothing is left to do|nothing more comes/).count(), 0);
    const fruit = { name: 'Hill orchard', produce: 'pears', pounds: '36', box: '18' };
    await addFruit(lead.page, fruit);

    const phone = await people.open(stage.home, { size: 'phone' });
    await joinByAdding(phone.page, 'Edda', '18 or more');
    await button(lead.page, /1 helper is here/).waitFor();
    await openBox(lead.page);
    await tap(phone.page, /^Wash fruit/);
    await boxSays(lead.page, 'Wash fruit', 'Edda');
    await tap(phone.page, /^One colander done/);
    await boxSays(lead.page, 'Wash fruit', '5 colanders · 15 lb');
    await sees(phone.page, /Counted at \d\d:\d\d: 3\slb/);
    await tap(phone.page, 'Take back');
    await boxSays(lead.page, 'Wash fruit', '6 colanders · 18 lb');
    await sees(phone.page, 'Nothing counted here yet.');
    assert.deepEqual([...lead.faults, ...phone.faults], []);
  } finally {
    await people.close();
    await stage.stop();
  }
});

test('a kitchen whose altitude is not known says what cannot be done, and where to set it', async () => {
  const stage = await blankStage();
  const people = await peopleIn();
  try {
    const { page } = await people.open(stage.home, { size: 'tablet' });
    await becomeLead(page, stage);
    await chooseSmallKitchen(page, 'Somewhere high');
    await page.getByRole('checkbox', { name: 'I do not know yet' }).check();
    await sees(page, 'Then no jar load can be built until the altitude is set.');
    await tap(page, 'Begin this day');
    await sees(page, 'The altitude is not set, so no jar load can be built.');
    await tap(page, /How high is the kitchen/);
    await write(page, 'spinbutton', /^Altitude of the kitchen/, '5200');
    await tap(page, 'Save');
    await page.getByText('The altitude is not set').waitFor({ state: 'hidden' });
  } finally {
    await people.close();
    await stage.stop();
  }
});

test('a device with a wrong lead key is offered no new day and is told what to do', async () => {
  const stage = await blankStage();
  const people = await peopleIn();
  try {
    const { page } = await people.open(`${stage.base}/#/lead-key/${'0'.repeat(32)}`);
    await sees(page, 'This is not the lead’s key.');
    assert.equal(await page.getByRole('link', { name: 'Begin a new day' }).count(), 0);
  } finally {
    await people.close();
    await stage.stop();
  }
});
