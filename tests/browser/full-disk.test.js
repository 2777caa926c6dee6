// The disk of the board runs full: every screen says so, taps wait and none is lost, and it goes on by
// itself once there is room. The disk is a small one in memory, mounted for the test (Linux, as root).

import test from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { appendFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { orchardStage, until } from './stage.js';
import { button, joinAs, peopleIn, sees, tap } from './person.js';

const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const FULL = /The computer's disk is full: taps wait on your device/;
const SKIPPED = 'SKIPPED, NOT PASSED: needs Linux, root and mount';

function mounted(place) {
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=16m', 'putby-test', place], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** Fills a disk to its last byte. */
function fill(filler) {
  for (const size of [65536, 4096, 1]) {
    try {
      for (;;) appendFileSync(filler, Buffer.alloc(size));
    } catch (error) {
      assert.equal(error.code, 'ENOSPC');
    }
  }
}

test('a full disk is said on every screen, and taps wait until there is room', async (t) => {
  const place = await mkdtemp(join(tmpdir(), 'putby-disk-'));
  if (!mounted(place)) {
    await rm(place, { recursive: true });
    t.skip(SKIPPED);
    return;
  }
  const people = await peopleIn();
  let stage = null;
  try {
    stage = await orchardStage({ orders: [PEARS], place });
    const { page: phone } = await people.open(stage.at('join'), { size: 'phone' });
    await joinAs(phone, 'Osk');
    await tap(phone, /^Wash fruit/);
    await button(phone, /^One colander done/).waitFor();
    const { page: wall } = await people.open(stage.at('wall'), { size: 'wall' });
    const { page: lead } = await people.open(stage.leadAddress, { size: 'tablet' });
    await until(async () => !(await lead.url()).includes('lead-key'), 'the lead to be known');
    await lead.goto(stage.at('lead'));
    const washed = async () => {
      const events = (await stage.events()).map((record) => record.event);
      return events.filter((one) => one.fact === 'tallied').length;
    };

    fill(join(place, 'filler'));
    // Until the last bytes of the log are used up a tap may still find room.
    let taps = 0;
    await until(async () => {
      await tap(phone, /^One colander done/);
      taps += 1;
      await phone.waitForTimeout(300);
      return (await phone.getByText(FULL).count()) > 0;
    }, 'the phone to say so');
    for (const page of [phone, wall, lead]) await sees(page, FULL);
    const kept = await washed();
    assert.ok(kept < taps, 'a tap waits');
    await tap(phone, /^One colander done/);
    taps += 1;
    await sees(phone, /kept here, not counted yet/);
    assert.equal(await washed(), kept);

    await rm(join(place, 'filler'));
    for (const page of [phone, wall, lead]) await sees(page, /takes taps again/);
    await until(async () => (await washed()) === taps, 'every tap to be counted');
    for (const page of [phone, wall, lead]) await page.getByText(FULL).waitFor({ state: 'detached' });
  } finally {
    await people.close();
    await stage?.stop();
    execFileSync('umount', ['--lazy', place]);
    await rm(place, { recursive: true, force: true });
  }
});
