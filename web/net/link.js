// The only code that talks to the server: requests, and the socket that follows a day. Not for
// what messages mean. Invariant: a call always ends with an answer, `status` 0 when there is
// no server; a silent line is found out within seconds, not at the next tap.

import { waitBefore } from '../core/outbox.js';

const ANSWER_LIMIT_MS = 10000;
const PROBE_EVERY_MS = 4000;
const PROBE_LIMIT_MS = 4000;
/** Shorter than the pause between two probes: a question of the last one is answered by the next. */
const SPEAK_LIMIT_MS = 3000;
// What is asked on a socket that is silent, and what the server says to it.
const STILL_THERE = 'still there?';
const HERE = '{"push":"here"}';
/** The code of the close by which a device hears that it was put out. */
const PUT_OUT = 1008;

async function request(path, init, limitMs = ANSWER_LIMIT_MS) {
  const stop = new AbortController();
  const limit = setTimeout(() => stop.abort(), limitMs);
  try {
    const answer = await fetch(path, { ...init, signal: stop.signal, cache: 'no-store' });
    const text = await answer.text();
    let body = null;
    try {
      body = JSON.parse(text);
    } catch {
      body = null;
    }
    const retryAfter = Number(answer.headers.get('Retry-After')) || 0;
    const broken = answer.ok && body === null;
    return { status: broken ? 0 : answer.status, body, retryAfter };
  } catch {
    return { status: 0, body: null, retryAfter: 0 };
  } finally {
    clearTimeout(limit);
  }
}

/** GET, as JSON; `limitMs` where the server has long to work. */
export const get = (path, limitMs) =>
  request(path, { headers: { Accept: 'application/json' } }, limitMs);

/** POST of JSON; `limitMs` as for GET. */
export const post = (path, body, limitMs) => {
  const headers = { 'Content-Type': 'application/json', Accept: 'application/json' };
  return request(path, { method: 'POST', headers, body: JSON.stringify(body) }, limitMs);
};

/**
 * Follows a day until the returned function is called. `have()` tells the last sequence number;
 * `on` gets `text(text)` for each push, `line(up)` when the line comes or goes, and
 * `trouble(problem)` when the server says there is no such day, `out()` when it does not let this
 * device look.
 */
export function follow(day, have, on) {
  let socket = null;
  let stopped = false;
  let tries = 0;
  let again = null;
  let heardAt = 0;
  // A server that was off, or that gave up a sleeping device, answers requests and knows nothing of
  // the socket: so the socket is asked too. When it last spoke, and what it was first asked since.
  let spokeAt = 0;
  let askedAt = 0;

  function open() {
    again = null;
    const scheme = location.protocol === 'https:' ? 'wss' : 'ws';
    const from = have() === null ? '' : `?have=${have()}`;
    const mine = new WebSocket(`${scheme}://${location.host}/api/days/${day}/live${from}`);
    socket = mine;
    spokeAt = performance.now();
    askedAt = 0;
    mine.onmessage = (message) => {
      if (socket !== mine) return;
      spokeAt = performance.now();
      if (message.data === HERE) return;
      heardAt = spokeAt;
      tries = 0;
      on.line(true);
      on.text(message.data);
    };
    mine.onclose = ({ code }) => {
      if (socket !== mine) return;
      lost();
      if (code === PUT_OUT) on.out();
    };
  }

  function lost() {
    socket = null;
    if (stopped) return;
    on.line(false);
    tries += 1;
    clearTimeout(again);
    again = setTimeout(open, waitBefore(tries, Math.random()));
    if (tries === 2) explain();
  }

  async function explain() {
    const answer = await get(`/api/days/${day}/view`);
    if (!stopped && answer.status === 401) on.out();
    if (!stopped && answer.status === 404) on.trouble(answer.body ?? { status: 404 });
  }

  async function probe() {
    const quiet = performance.now() - heardAt > PROBE_EVERY_MS;
    if (quiet) await doubt();
  }

  async function doubt() {
    const mine = socket;
    if (!mine) return;
    if (askedAt < spokeAt) askedAt = performance.now();
    if (mine.readyState === WebSocket.OPEN) mine.send(STILL_THERE);
    const answer = await request('/api/me', {}, PROBE_LIMIT_MS);
    if (socket !== mine) return;
    const mute = spokeAt < askedAt && performance.now() - askedAt > SPEAK_LIMIT_MS;
    if (answer.status !== 0 && !mute) return;
    // The server is there, so a new socket needs no patience.
    if (answer.status !== 0) tries = 0;
    mine.onclose = null;
    mine.close();
    lost();
  }

  function wake() {
    if (document.visibilityState === 'hidden' || stopped) return;
    if (socket) {
      probe();
      return;
    }
    tries = 0;
    clearTimeout(again);
    open();
  }

  const probing = setInterval(probe, PROBE_EVERY_MS);
  addEventListener('online', wake);
  addEventListener('offline', doubt);
  document.addEventListener('visibilitychange', wake);
  open();
  return () => {
    stopped = true;
    clearTimeout(again);
    clearInterval(probing);
    removeEventListener('online', wake);
    removeEventListener('offline', doubt);
    document.removeEventListener('visibilitychange', wake);
    socket?.close();
  };
}
