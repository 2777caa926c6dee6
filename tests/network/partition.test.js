// Devices that are cut off from the board on a real network, one way, the other, both, and by loss:
// joined again, everybody shows the same, and every tap is there once. The devices are the browser's
// own board and link. `ROUNDS=50 node --test tests/network/partition.test.js` goes on for longer.

import test from 'node:test';
import assert from 'node:assert/strict';
import { HERE, LIMIT_S, atHome } from './at-home.js';

test('devices that were cut off and joined again agree with the board, and no tap is lost or doubled', async (t) => {
  const rounds = Number(process.env.ROUNDS ?? 1);
  const { said } = await atHome(
    () => `${process.execPath} ${HERE}partition.js ${rounds}`,
    '--no-announce',
    LIMIT_S * (rounds + 1),
  );
  assert.equal(said.length, 4 * rounds);
  for (const { round, cut, lost, refused } of said)
    assert.deepEqual({ lost, refused }, { lost: 0, refused: 0 }, `round ${round}: ${cut}`);
  const slowest = Math.max(...said.map(({ ms }) => ms));
  t.diagnostic(`${said.length} cuts, all agreed within ${slowest} ms of the end of one`);
});
