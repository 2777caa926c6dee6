// The board on a home network, looked for from a second computer by an outside program that speaks
// multicast DNS. Each test has a network of its own, cut off from every other.

import test from 'node:test';
import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { program } from '../browser/program.js';
import { HERE, LIMIT_S, atHome, run } from './at-home.js';

const PYTHON = process.env.PUTBY_PYTHON ?? '/usr/bin/python3';
const BROWSE = `${PYTHON} ${HERE}browse.py`;

test('an outside browser of services finds the board, its port and an address that answers', async () => {
  const { said, terminal } = await atHome(() => `${BROWSE} ${LIMIT_S} 1`);
  assert.deepEqual(said, [
    {
      name: 'Putby._http._tcp.local.',
      host: 'putby.local',
      port: 8080,
      addresses: ['192.168.77.1'],
      status: 200,
      putby: true,
    },
  ]);
  assert.match(terminal, /http:\/\/192\.168\.77\.1:8080\/ {2}or {2}http:\/\/putby\.local:8080\//);
});

test('the name is the one that was asked for', async () => {
  const { said } = await atHome(() => `${BROWSE} ${LIMIT_S} 1`, '--home-name orchard');
  assert.equal(said[0].host, 'orchard.local');
});

test('a second board at home takes another name, and says so', async () => {
  const { said, terminal } = await atHome(
    (serve) =>
      `${serve('two', '--listen 0.0.0.0:8080')} >$FOLDER/second & board=$!; ` +
      `${BROWSE} ${LIMIT_S} 2; until grep -q putby-2 $FOLDER/second; do sleep 0.05; done; ` +
      'kill -TERM $board; wait $board; cat $FOLDER/second',
  );
  const found = said.map(({ host, addresses, putby }) => [host, ...addresses, putby]).sort();
  assert.deepEqual(found, [
    ['putby-2.local', '192.168.77.2', true],
    ['putby.local', '192.168.77.1', true],
  ]);
  assert.equal(new Set(said.map(({ name }) => name)).size, 2);
  // In the greeting, or on a line of its own where the two took long to agree.
  assert.match(terminal, /http:\/\/putby-2\.local:8080\//);
});

test('an address that the computer gets later is announced too', async () => {
  const late = '192.168.78.1';
  const { said } = await atHome(
    () =>
      `on_first ip address flush dev kitchen; on_first ip address add ${late}/24 dev kitchen; ` +
      'ip address add 192.168.78.2/24 dev phone; ' +
      `for try in $(seq 12); do found=$(${BROWSE} 3 1 2>/dev/null); ` +
      `case $found in *${late}*) break;; esac; sleep 1; done; echo "$found"`,
  );
  assert.deepEqual(said[0].addresses, [late]);
  assert.equal(said[0].status, 200);
});

test('a board that stops says goodbye', async () => {
  const { said } = await atHome(
    () =>
      `${BROWSE} ${LIMIT_S} 2 goodbyes & looking=$!; ` +
      'sleep 3; kill -TERM $FIRST_PID; wait $looking',
  );
  assert.equal(said[0].host, 'putby.local');
  assert.deepEqual(said[1], { gone: 'Putby._http._tcp.local.' });
});

test('told to say nothing, or on a network without multicast, the board runs all the same', async () => {
  const opened = 'http://192.168.77.1:8080/api/me';
  const ask = `${PYTHON} -c "import json, urllib.request as u; print(json.dumps({'role': json.load(u.urlopen('${opened}'))['role']}))"`;
  const silent = await atHome(() => `${BROWSE} 4 1; ${ask}`, '--no-announce');
  assert.deepEqual(silent.said, [{ role: 'guest' }]);
  assert.doesNotMatch(silent.terminal, /\.local/);

  const folder = await mkdtemp(join(tmpdir(), 'putby-network-'));
  try {
    const alone =
      `${program()} serve --data ${folder} --listen 0.0.0.0:8080 >${folder}.said & board=$!; ` +
      `until grep -q Ctrl-C ${folder}.said; do sleep 0.05; done; ` +
      `${ask.replace('192.168.77.1', '127.0.0.1')}; kill -TERM $board; wait $board; echo $?`;
    const bare = `ip link set lo up; ${alone}`;
    const { stdout } = await run('unshare', ['--map-root-user', '--net', 'bash', '-c', bare], {
      timeout: LIMIT_S * 1000,
    });
    assert.deepEqual(stdout.trim().split('\n'), ['{"role": "guest"}', '0']);
  } finally {
    await rm(folder, { recursive: true, force: true });
    await rm(`${folder}.said`, { force: true });
  }
});
