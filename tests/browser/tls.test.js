// TLS under a certificate that the board made: the page is a secure context, its cookie and its live
// socket are under TLS too, and the terminal tells the certificate that an outside client finds.

import test from 'node:test';
import assert from 'node:assert/strict';
import { connect } from 'node:tls';
import { blankStage, fixture } from './stage.js';
import { peopleIn } from './person.js';

/** The SHA-256 of the certificate as OpenSSL, in Node.js, reads it off the wire. */
function fingerprintAt(base) {
  const { hostname: host, port } = new URL(base);
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port, rejectUnauthorized: false }, () => {
      resolve(socket.getPeerCertificate().fingerprint256);
      socket.end();
    });
    socket.on('error', reject);
  });
}

test('a board under TLS is led over TLS alone, and stays itself over a restart', async () => {
  const stage = await blankStage({ more: ['--tls', '--no-announce'] });
  const people = await peopleIn();
  try {
    assert.match(stage.base, /^https:/);
    const seen = await fingerprintAt(stage.base);
    assert.ok(stage.said.some((line) => line.trim() === seen), `${seen} in ${stage.said}`);

    const { page, context, faults } = await people.open(stage.leadAddress, { size: 'tablet' });
    const sockets = [];
    page.on('websocket', (socket) => sockets.push(new URL(socket.url()).protocol));
    await page.getByRole('link', { name: 'Begin a new day' }).waitFor();
    assert.equal(await page.evaluate(() => globalThis.isSecureContext), true);
    const cookies = await context.cookies();
    assert.deepEqual(cookies.map(({ secure, httpOnly }) => [secure, httpOnly]), [[true, true]]);

    const plan = await fixture('demo/day.json');
    const day = await page.evaluate(async (asked) => {
      const answer = await fetch('/api/days', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify(asked),
      });
      return (await answer.json()).day;
    }, { id: crypto.randomUUID(), plan });
    await page.goto(`${stage.base}/#/day/${day}/lead`);
    await page.locator('.station-box').first().waitFor();
    assert.deepEqual([...new Set(sockets)], ['wss:']);

    await stage.kill();
    await stage.startAgain();
    assert.equal(await fingerprintAt(stage.base), seen);
    assert.deepEqual(faults, []);
  } finally {
    await people.close();
    await stage.stop();
  }
});
