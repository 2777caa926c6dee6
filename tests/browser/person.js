// What a person does and sees on a page, by role and accessible name. Waits for what it asks for,
// with a limit; a test that waits in vain fails and says for what.

import { after } from 'node:test';
import { launch, pageOf } from './browser.js';
import { LIMIT_MS } from './stage.js';

/** One browser for all tests of a file: to start it takes longer than many a test. */
let browser = null;
after(async () => (await browser)?.close());

/** Devices of one test: `open(address, options)` gives a page of a new one. */
export async function peopleIn() {
  browser ??= launch();
  const running = await browser;
  const devices = [];
  return {
    async open(address, options = {}) {
      const made = await pageOf(running, options.base ?? new URL(address).origin, options);
      devices.push(made.context);
      made.page.setDefaultTimeout(LIMIT_MS);
      await made.page.goto(address);
      return made;
    },
    close: () => Promise.all(devices.map((context) => context.close())),
  };
}

/** Runs with a stage and people before it; both are gone afterwards. */
export async function onStage(open, run) {
  const stage = await open();
  const people = await peopleIn();
  try {
    await run(stage, people);
  } finally {
    await people.close();
    await stage.stop();
  }
}

/** A button by its name. */
export const button = (place, name) => place.getByRole('button', { name });

/** Taps a button. */
export const tap = (place, name) => button(place, name).first().click();

/** Follows a link. */
export const follow = (place, name) => place.getByRole('link', { name }).first().click();

/** Writes into a field. */
export const write = (place, role, name, text) => place.getByRole(role, { name }).fill(text);

/** Waits until a text can be seen. */
export const sees = (place, text) => place.getByText(text).first().waitFor({ state: 'visible' });

/** Waits until a text can no longer be seen. */
export const missesNow = (place, text) => place.getByText(text).waitFor({ state: 'hidden' });

/** A station's box in the kitchen, by the name of the station. */
export const box = (page, name) =>
  page
    .getByRole('region', { name: 'Stations as the work flows' })
    .locator('.station-box')
    .filter({ has: page.getByText(name, { exact: true }) });

/** Waits until a station's box says something. */
export const boxSays = (page, name, text) =>
  box(page, name).filter({ hasText: text }).waitFor({ state: 'visible' });

/** Joins as somebody who is on the list. */
export async function joinAs(page, name) {
  await tap(page, new RegExp(`^\\W*${name}\\b`));
  await page.getByRole('heading', { level: 1, name }).waitFor();
}

/** Makes the device of a page the lead's, by the address that the terminal shows. */
export async function becomeLead(page, stage) {
  await page.goto(stage.leadAddress);
  await page.getByRole('link', { name: 'Begin a new day' }).waitFor();
}
