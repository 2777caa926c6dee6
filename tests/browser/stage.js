// The real program for browser tests: built once, started on a free port with a folder of its own,
// spoken to over its API. Not for what is seen on screens. Invariant: whatever a test starts here
// is gone when it has been stopped, the folder too.

import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { program } from './program.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

/** Long enough for a busy machine; reached only by a test that fails. */
export const LIMIT_MS = 20000;

/** A file of the project, as JSON. */
export async function fixture(path) {
  return JSON.parse(await readFile(join(ROOT, 'fixtures', path), 'utf8'));
}

/** Waits until `look()` gives something true, and gives it back. */
export async function until(look, what) {
  const end = performance.now() + LIMIT_MS;
  for (;;) {
    const found = await look();
    if (found) return found;
    if (performance.now() > end) throw new Error(`waited in vain for: ${what}`);
    await pause(40);
  }
}

/** A test does in seconds, and from one address, what a family does in a day. */
const WIDE = {
  PUTBY_COMMANDS_PER_S: '100000',
  PUTBY_COMMANDS_BURST: '100000',
  PUTBY_REQUESTS_PER_S: '100000',
  PUTBY_REQUESTS_BURST: '100000',
  PUTBY_HANDSHAKES_PER_S: '100000',
  PUTBY_CONNECTIONS_PER_ADDRESS: '384',
};

/** Starts the program on `folder` and waits until it can be opened. */
async function started(folder, listen, speed, more = []) {
  const args = ['serve', '--data', folder, '--listen', listen, '--speed', String(speed), ...more];
  const env = { ...process.env, ...WIDE };
  const child = spawn(program(), args, { env, stdio: ['ignore', 'pipe', 'inherit'] });
  const gone = new Promise((resolve) => {
    child.once('exit', resolve);
  });
  const greeting = new Promise((resolve, reject) => {
    const lines = createInterface({ input: child.stdout });
    const said = [];
    lines.on('line', (line) => {
      said.push(line);
      if (!line.startsWith('Stop with')) return;
      // The lead's address is told at the first start alone.
      const lead = said.join('\n').match(/(https?:\/\/\S+?)\/#\/lead-key\/(\w+)/);
      resolve({ base: lead?.[1], key: lead?.[2], leadAddress: lead?.[0], said });
    });
    gone.then((code) => reject(new Error(`the program ended with ${code} before it greeted`)));
  });
  const end = async (signal) => {
    child.kill(signal);
    await gone;
  };
  return { ...(await greeting), end };
}

/** The API, spoken as the lead. */
function leadOf(base, key) {
  const headers = { Authorization: `Bearer ${key}`, 'Content-Type': 'application/json' };
  const ask = async (path, body) => {
    const init = body ? { method: 'POST', body: JSON.stringify(body) } : {};
    const answer = await fetch(`${base}${path}`, { ...init, headers });
    const text = await answer.text();
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${text}`);
    return text;
  };
  const json = async (path, body) => JSON.parse(await ask(path, body));
  return {
    openDay: async (plan) =>
      (await json('/api/days', { id: crypto.randomUUID(), plan })).day,
    order: (day, command) =>
      json(`/api/days/${day}/commands`, { id: crypto.randomUUID(), command }),
    /** What stands at a path. */
    get: (path) => json(path),
    view: async (day) => (await json(`/api/days/${day}/view`)).view,
    events: async (day) =>
      (await ask(`/api/days/${day}/events?from=1`))
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line)),
  };
}

/** A running server with no day yet: `base`, `key`, `code`, `leadAddress`, `lead` and `stop()`. */
export async function blankStage({ speed = 1, place = tmpdir(), more = [] } = {}) {
  const folder = await mkdtemp(join(place, 'putby-browser-'));
  const data = join(folder, 'days');
  let running = await started(data, '127.0.0.1:0', speed, more);
  const { base, key, leadAddress, said } = running;
  const [, code] = said.join('\n').match(/The code for joining is (\S{9})\./);
  const page = (hash, at = base) => `${at}/#/code/${code}/${hash}`;
  return {
    base,
    key,
    /** The code for joining. */
    code,
    /** What the picture in the terminal leads to. */
    home: `${base}/#/code/${code}`,
    /** A page, by an address that lets a device in. */
    page,
    leadAddress,
    /** The folder that keeps the days. */
    data,
    /** What the terminal shows, line by line. */
    said,
    lead: leadOf(base, key),
    /** As if the plug were pulled. */
    kill: () => running.end('SIGKILL'),
    /** As it is stopped by hand; it keeps the time on disk. */
    end: () => running.end('SIGTERM'),
    /** On the same folder and port as before; `pace` lets its time run at another speed. */
    async startAgain(pace = speed) {
      running = await started(data, new URL(base).host, pace, more);
    },
    async stop() {
      await running.end('SIGKILL');
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A running server with the demonstration's day open; `orders` are given before anybody looks. */
export async function orchardStage({ speed = 1, orders = [], place } = {}) {
  const stage = await blankStage({ speed, place });
  const opened = async () => {
    const day = await stage.lead.openDay(await fixture('demo/day.json'));
    for (const command of orders) await stage.lead.order(day, command);
    return day;
  };
  const day = await opened().catch(async (error) => {
    await stage.stop();
    throw error;
  });
  const order = (command) => stage.lead.order(day, command);
  return {
    ...stage,
    day,
    order,
    view: () => stage.lead.view(day),
    events: () => stage.lead.events(day),
    /** A screen of the day, by the address in the picture on the wall. */
    at: (screen, base = stage.base) => stage.page(`day/${day}/${screen}`, base),
  };
}
