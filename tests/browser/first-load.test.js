// Small: what crosses the wire from an empty cache to a helper's screen stays below 150 kB, all of
// it from the board itself. Then the sheets behind it are fetched ahead, and after that nothing more:
// the socket pushes, and a small question every few seconds finds out whether the line is alive.

import test from 'node:test';
import assert from 'node:assert/strict';
import { setTimeout as pause } from 'node:timers/promises';
import { orchardStage, until } from './stage.js';
import { joinAs, peopleIn } from './person.js';

const LIMIT_BYTES = 150_000;
const AT_REST_MS = 3000;
const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };

/** Everything the browser asks for from here on: `bytes` as transferred, headers too. */
async function listensTo(page) {
  const session = await page.context().newCDPSession(page);
  const heard = { urls: [], bytes: 0 };
  session.on('Network.requestWillBeSent', ({ request }) => heard.urls.push(request.url));
  session.on('Network.loadingFinished', ({ encodedDataLength }) => {
    heard.bytes += encodedDataLength;
  });
  await session.send('Network.enable');
  await session.send('Network.setCacheDisabled', { cacheDisabled: false });
  await session.send('Network.clearBrowserCache');
  return heard;
}

/** From an empty cache to a helper's seat, and some rest after it. */
async function loads(t, lang, quietMs) {
  const stage = await orchardStage({ orders: [PEARS] });
  const people = await peopleIn();
  try {
    const { page, faults } = await people.open('about:blank', {
      size: 'phone',
      base: stage.base,
      lang,
    });
    const heard = await listensTo(page);
    await page.goto(stage.at('join'));
    await joinAs(page, 'Osk');
    await page.locator('.claims button').first().click();
    await page.locator('.act').waitFor();
    t.diagnostic(`${heard.urls.length} requests, ${heard.bytes} bytes`);
    assert.ok(heard.urls.length > 20, 'the requests were heard');
    assert.ok(heard.bytes > 20_000, 'the bytes were counted');
    assert.ok(heard.bytes < LIMIT_BYTES, `${heard.bytes} bytes`);
    const { origin, host } = new URL(stage.base);
    const outside = heard.urls.filter(
      (url) => !url.startsWith(`${origin}/`) && !url.startsWith(`ws://${host}/`),
    );
    assert.deepEqual(outside, []);

    const fetched = () => heard.urls.filter((url) => url !== `${origin}/api/me`).length;
    await until(() => heard.urls.some((url) => url.endsWith('helper-sheet.js')), 'the sheets');
    let before = 0;
    while (before < fetched()) {
      before = fetched();
      await pause(AT_REST_MS);
    }
    t.diagnostic(`${heard.bytes} bytes with what is fetched ahead`);
    await pause(quietMs);
    assert.equal(fetched(), before, `not quiet: ${heard.urls.slice(-5)}`);
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
}

for (const [lang, quietMs] of [
  ['en', 20_000],
  ['es', 0],
])
  test(`a first load up to a seat is small, asks nobody outside, and is then quiet (${lang})`, (t) =>
    loads(t, lang, quietMs));
