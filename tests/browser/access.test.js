// Coming in: by the picture, by a typed code, by a wrong one; being put out; the walls' link; and names
// that would be more than names.

import test from 'node:test';
import assert from 'node:assert/strict';
import { setTimeout as pause } from 'node:timers/promises';
import { AT_ONCE, first, hurt, next, onHelpers, payloads } from './odd-names.js';
import { orchardStage, until } from './stage.js';
import { becomeLead, button, joinAs, onStage, sees, tap } from './person.js';

const codeField = (page) => page.getByRole('textbox', { name: /^The code for joining/ });

/** Opens the lead's list of devices. */
async function devicesOf(lead, stage) {
  await lead.goto(stage.at('lead'));
  await tap(lead, 'Day and fruit');
  await tap(lead, 'Devices');
  const sheet = lead.getByRole('dialog', { name: 'Devices' });
  await sheet.getByRole('region', { name: 'Devices that are in' }).waitFor();
  return sheet;
}

test('the address of the picture needs no typing, and the code does not stay in it', () =>
  onStage(orchardStage, async (stage, people) => {
    const { page, faults } = await people.open(stage.at('join'), { size: 'phone' });
    await joinAs(page, 'Osk');
    assert.ok(!page.url().includes(stage.code), page.url());
    await page.reload();
    await page.getByRole('heading', { level: 1, name: 'Osk' }).waitFor();
    assert.deepEqual(faults, []);
  }));

test('an address with the code may lead anywhere, and nothing is asked for before it has let in', () =>
  onStage(orchardStage, async (stage, people) => {
    const { page, faults } = await people.open('about:blank', { base: stage.base, size: 'phone' });
    await page.route('**/api/me', async (route) => {
      await pause(1500);
      await route.continue();
    });
    await page.goto(stage.page('learned'));
    await sees(page, 'Only the lead may correct or forget.');
    assert.deepEqual(faults, []);
  }));

test('a guest sees one field and nothing of the day; a wrong code is said, the right one leads on', () =>
  onStage(orchardStage, async (stage, people) => {
    const { page, faults } = await people.open(`${stage.base}/#/day/${stage.day}/join`, {
      size: 'phone',
    });
    await codeField(page).waitFor();
    assert.equal(await page.getByRole('textbox').count(), 1);
    assert.equal(await page.getByText('Osk').count(), 0);
    for (const [typed, answer] of [
      ['K7Q', 'A code has eight letters and digits.'],
      ['0000-0000', 'This is not the code.'],
    ]) {
      await codeField(page).fill(typed);
      await tap(page, 'Come in');
      await sees(page, answer);
    }
    await codeField(page).fill(stage.code.toLowerCase().replace('-', ' '));
    await page.keyboard.press('Enter');
    await joinAs(page, 'Osk');
    assert.deepEqual(faults, []);
  }));

test('a device that the lead takes off says so, keeps its taps and brings them when it is in again', () =>
  onStage(orchardStage, async (stage, people) => {
    const phone = await people.open(stage.at('join'), { size: 'phone' });
    await joinAs(phone.page, 'Osk');
    const lead = await people.open(stage.home, { size: 'desk' });
    await becomeLead(lead.page, stage);
    const sheet = await devicesOf(lead.page, stage);
    await sees(sheet, 'this device');
    await phone.context.setOffline(true);
    await tap(phone.page, /^Wash fruit/);
    const line = sheet.getByRole('listitem').filter({ hasText: 'stands for Osk' });
    await line.getByRole('button', { name: /^Take off/ }).click();
    await line.waitFor({ state: 'detached' });
    await phone.context.setOffline(false);
    await sees(phone.page, 'This device was let in before and is no longer.');
    // The last of the lead's is not taken off by one tap.
    const own = sheet.getByRole('listitem').filter({ hasText: 'this device' });
    await own.getByRole('button', { name: /^Take off/ }).click();
    await sees(own, 'This is the only device that leads.');

    await codeField(phone.page).fill(stage.code);
    await tap(phone.page, 'Come in');
    await phone.page.getByRole('heading', { level: 1, name: 'Osk' }).waitFor();
    const seat = async () => (await stage.view()).helpers.osk.station === 'wash';
    await until(seat, 'the tap of before to be brought');
    assert.deepEqual([...phone.faults, ...lead.faults], []);
  }));

test('the wall comes by its link, shows the code while it may, and can do nothing else', () =>
  onStage(orchardStage, async (stage, people) => {
    const { watch } = await stage.lead.get('/api/doors');
    const wall = await people.open(`${stage.base}/#/watch/${watch}/day/${stage.day}/wall`, {
      size: 'wall',
    });
    await sees(wall.page, stage.code);
    assert.ok(!wall.page.url().includes(watch), wall.page.url());
    const me = await (await wall.page.request.get(`${stage.base}/api/me`)).json();
    assert.equal(me.role, 'watcher');

    const lead = await people.open(stage.home, { size: 'desk' });
    await becomeLead(lead.page, stage);
    const sheet = await devicesOf(lead.page, stage);
    await button(sheet, 'Make another code').click();
    await wall.page.getByText(stage.code).waitFor({ state: 'hidden' });
    const { code } = await stage.lead.get('/api/doors');
    await sees(wall.page, code);
    // However long the answer takes, the box stays as it was turned.
    await lead.page.route('**/api/doors', async (route) => {
      if (route.request().method() === 'POST') await pause(1200);
      await route.continue();
    });
    const box = sheet.getByRole('checkbox', { name: 'The wall shows the code' });
    await box.uncheck();
    await pause(600);
    assert.equal(await box.isChecked(), false);
    await wall.page.locator('.join-code').waitFor({ state: 'detached' });
    await sheet.getByText('Link for a wall').last().click();
    await button(sheet, 'Make another link').click();
    await sees(wall.page, 'This device was let in before and is no longer.');
    assert.deepEqual([...wall.faults, ...lead.faults], []);
  }));

test('the lead is told on the screen that codes are tried', () =>
  onStage(orchardStage, async (stage, people) => {
    const lead = await people.open(stage.home, { size: 'desk' });
    await becomeLead(lead.page, stage);
    await lead.page.goto(stage.at('lead'));
    await sees(lead.page, 'Day and fruit');
    const guess = (n) =>
      fetch(`${stage.base}/api/me`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ code: `0000-000${n}` }),
      });
    const answers = [];
    for (let n = 0; n < 7; n += 1) answers.push((await guess(n)).status);
    assert.deepEqual(answers, [403, 403, 403, 403, 403, 429, 429]);
    await sees(lead.page, 'Somebody tried 7 wrong codes');
    await tap(lead.page, 'Seen');
    await lead.page.getByText('Somebody tried').waitFor({ state: 'hidden' });
  }));

test('two hundred names that are markup are names: no dialog, no element, no request outside', () =>
  onStage(orchardStage, async (stage, people) => {
    const all = payloads();
    assert.equal(all.length, 200);
    const dialogs = [];
    const faults = [];
    const places = ['join', 'lead', 'wall'];
    const pages = [];
    for (const screen of places) {
      const opened = await people.open(stage.home, { size: screen === 'wall' ? 'wall' : 'desk' });
      await becomeLead(opened.page, stage);
      await opened.page.goto(stage.at(screen));
      opened.page.on('dialog', (dialog) => {
        dialogs.push(dialog.message());
        dialog.dismiss();
      });
      faults.push(opened.faults);
      pages.push(opened.page);
    }
    const [join, lead] = pages;
    for (let at = 0; at < all.length; at += AT_ONCE) {
      const names = all.slice(at, at + AT_ONCE);
      for (const order of at === 0 ? first(names) : next(names)) await stage.order(order);
      await stage.order({ order: 'change-day', name: names[0] });
      await stage.order({ order: 'note', on: { about: 'day' }, text: names[1] });
      for (const page of pages) {
        await page.getByRole('heading', { level: 1 }).first().waitFor();
        await page.waitForFunction((title) => document.title.startsWith(title), names[0]);
      }
      const missing = async (page, where, wanted) => {
        const shown = (await page.locator(where).allTextContents()).map((text) => text.trim());
        return wanted.filter((name) => !shown.includes(name.trim()));
      };
      const called = at === 0 ? onHelpers(names) : [];
      assert.deepEqual(await missing(join, '.join-person strong', called), []);
      assert.deepEqual(await missing(lead, '.station-box .box-name', names), []);
      for (const page of pages) assert.deepEqual(await page.evaluate(hurt), [null, 0]);
    }
    assert.deepEqual([dialogs, faults.flat()], [[], []]);
  }));
