// Devices at two addresses of one board, of which one is cut off in every way there is and joined
// again. Run on the second computer. Usage: partition.js ROUNDS; prints one JSON line for each cut.

import { execFileSync, fork } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { randomUUID } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';

const HERE = new URL('.', import.meta.url).pathname;
const [WHOLE, CUT] = ['192.168.77.1:8080', '192.168.77.3:8080'];
const ROUNDS = Number(process.argv[2]);
const first = ['nsenter', '--target', process.env.FIRST_NET, '--net'];
const second = [];

const sh = (where, ...words) => {
  const [name, ...rest] = [...where, ...words];
  execFileSync(name, rest, { stdio: ['ignore', 'ignore', 'inherit'] });
};
sh(first, 'ip', 'address', 'add', '192.168.77.3/24', 'dev', 'kitchen');
for (const side of [first, second]) {
  sh(side, 'nft', 'add table ip cut');
  sh(side, 'nft', 'add chain ip cut arriving { type filter hook input priority 0 ; }');
}
const up = (what) => sh(first, 'nft', `add rule ip cut arriving ip daddr 192.168.77.3 ${what}`);
const down = (what) => sh(second, 'nft', `add rule ip cut arriving ip saddr 192.168.77.3 ${what}`);
const heal = () => [first, second].forEach((side) => sh(side, 'nft', 'flush chain ip cut arriving'));

const LOSS = 'numgen random mod 100 < 20 drop';
const CUTS = {
  'nothing arrives at the board': () => up('drop'),
  'nothing arrives at the devices': () => down('drop'),
  'nothing arrives anywhere': () => [up('drop'), down('drop')],
  'a fifth is lost both ways': () => [up(LOSS), down(LOSS)],
};

const key = readFileSync(`${process.env.FOLDER}/terminal`, 'utf8').match(/lead-key\/(\w+)/)[1];
process.env.WHO = `Bearer ${key}`;
const asked = { headers: { Authorization: process.env.WHO } };
const plan = { name: 'Cut', date: '2026-09-12' };
const opened = await fetch(`http://${WHOLE}/api/days`, {
  method: 'POST',
  headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${key}` },
  body: JSON.stringify({ id: randomUUID(), day: 'cut', plan }),
});
if (opened.status !== 201) throw new Error(await opened.text());

const groups = [
  [WHOLE, 3],
  [CUT, 3],
].map(([host, count]) => fork(`${HERE}devices.js`, [host, String(count)]));
const report = (group) =>
  new Promise((resolve) => {
    group.once('message', resolve);
    group.send('report');
  });
const reports = async () => (await Promise.all(groups.map(report))).flat();

/** All taps are answered, and every device shows what the board shows. */
async function agreed() {
  const devices = await reports();
  const seqs = new Set(devices.map(({ seq }) => seq));
  const hashes = new Set(devices.map(({ hash }) => hash));
  const waiting = devices.reduce((sum, one) => sum + one.waiting, 0);
  if (waiting || seqs.size > 1 || hashes.size > 1) return null;
  const { seq } = await (await fetch(`http://${WHOLE}/api/days/cut/view`, asked)).json();
  return seqs.has(seq) ? devices : null;
}

async function until(ready) {
  const began = performance.now();
  for (;;) {
    const found = await ready();
    if (found) return { found, ms: Math.round(performance.now() - began) };
    await pause(20);
  }
}

await until(async () => (await reports()).every(({ seq }) => seq !== null));
const before = (await (await fetch(`http://${WHOLE}/api/days/cut/view`, asked)).json()).seq;
for (let round = 0; round < ROUNDS; round += 1)
  for (const [cut, make] of Object.entries(CUTS)) {
    make();
    for (let tap = 0; tap < 5; tap += 1) {
      groups.forEach((group) => group.send('tap'));
      await pause(round % 2 ? 1500 : 150);
    }
    heal();
    const { found, ms } = await until(agreed);
    // Each process counts the taps of its three devices; each tap is one event.
    const taps = found[0].taps + found[3].taps;
    const refused = found.reduce((sum, one) => sum + one.refused, 0);
    console.log(JSON.stringify({ round, cut, ms, lost: before + taps - found[0].seq, refused }));
  }
groups.forEach((group) => group.kill());
