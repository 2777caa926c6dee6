// Starting the real browser for tests: Chromium through playwright-core, nothing downloaded.

import { chromium } from 'playwright-core';

const ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** A headless Chromium; `PUTBY_CHROMIUM` names another place than the usual one. */
export function launch() {
  return chromium.launch({
    executablePath: process.env.PUTBY_CHROMIUM ?? '/usr/bin/chromium',
    args: ARGS,
  });
}

export const SIZES = {
  phone: { width: 390, height: 844, isMobile: true, hasTouch: true },
  tablet: { width: 1024, height: 768, hasTouch: true },
  wall: { width: 1920, height: 1080 },
  desk: { width: 1440, height: 900 },
};

/** A device of the United States with a clock of 24 hours. */
const LOCALE = 'en-US-u-hc-h23';

/**
 * A page of a size and colour scheme that gathers what must never happen: errors, outside calls.
 */
export async function pageOf(
  browser,
  base,
  { size = 'tablet', scheme = 'light', lang = LOCALE } = {},
) {
  const { width, height, ...more } = SIZES[size];
  const context = await browser.newContext({
    viewport: { width, height },
    colorScheme: scheme,
    reducedMotion: 'reduce',
    locale: lang,
    // A certificate made by the board is vouched for by nobody.
    ignoreHTTPSErrors: base.startsWith('https:'),
    ...more,
  });
  const page = await context.newPage();
  const faults = [];
  page.on('pageerror', (error) => faults.push(`error: ${error.message}`));
  page.on('console', (message) => {
    const expected = /Failed to load resource|WebSocket connection/.test(message.text());
    if (message.type() === 'error' && !expected) faults.push(`console: ${message.text()}`);
  });
  page.on('request', (request) => {
    const url = new URL(request.url());
    if (url.origin !== new URL(base).origin && url.protocol.startsWith('http'))
      faults.push(`outside: ${url.origin}`);
  });
  page.on('websocket', (socket) => {
    if (new URL(socket.url()).host !== new URL(base).host)
      faults.push(`outside: ${socket.url()}`);
  });
  return { page, context, faults };
}
