// The other engine: in Firefox a call that someone is hurt reaches the wall, and without a wake lock
// the moving picture plays.

import test from 'node:test';
import { click, deviceAt, found, launchFirefox, shows } from './fox.js';
import { orchardStage, until } from './stage.js';

const WITHOUT_WAKE_LOCK = {
  prepare: (page) =>
    page.evaluateOnNewDocument(() => {
      Object.defineProperty(Navigator.prototype, 'wakeLock', { get: () => undefined });
    }),
};

test('in Firefox a call is seen on the wall, and the moving picture plays after a touch', async () => {
  const stage = await orchardStage();
  const browser = await launchFirefox();
  try {
    const { page: wall } = await deviceAt(browser, stage.at('wall'), WITHOUT_WAKE_LOCK);
    const { page: bo } = await deviceAt(browser, stage.at('join'));
    await click(bo, 'Bo');
    await click(bo, 'Someone is hurt');
    await shows(bo, 'In doubt, call your local emergency number.', 'dialog');
    await shows(wall, 'Someone is hurt', '.hurt-call');
    await click(bo, 'Nobody is hurt');
    await found(wall, () => !document.querySelector('.hurt-call'));

    // A page behind another needs no screen that is awake.
    await wall.bringToFront();
    await wall.mouse.click(5, 5);
    const picture = () =>
      wall.evaluate(() => {
        const video = document.querySelector('video.awake');
        return video && !video.paused && video.videoWidth === 16 ? video.currentTime : 0;
      });
    const first = await until(picture, 'the picture to play');
    await until(async () => (await picture()) > first, 'the picture to play on');
  } finally {
    await browser.close();
    await stage.stop();
  }
});
