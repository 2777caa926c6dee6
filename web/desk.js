// What this page knows and can do, gathered into the one `app` object that screens are given.
// Holds the state of the page; the day's own state is the board's. Invariant: every change ends in
// one call of `changed`, so the screen always shows the newest state.

import * as link from './net/link.js';
import * as memory from './memory.js';
import { boardOf } from './core/board.js';
import { screenAt } from './core/address.js';
import { freshOutlook, stillAside } from './core/outlook.js';
import { timersOf } from './core/timers.js';
import { uuidFrom } from './core/protocol.js';

const randomBytes = () => crypto.getRandomValues(new Uint8Array(16));
const shortId = () => [...randomBytes().slice(0, 5)].map((one) => (one % 36).toString(36)).join('');

/** The desk of a page; `changed()` is called after every change. */
export function deskOf(changed) {
  const page = {
    me: null,
    days: null,
    daysTrouble: false,
    kitchens: null,
    at: screenAt(location.hash),
    board: null,
    sound: memory.sound(),
    heard: [],
    known: [],
    foods: null,
    helperId: null,
    answered: {},
  };
  const outside = {
    link,
    memory,
    randomBytes,
    chance: Math.random,
    changed,
    monotonic: () => performance.now(),
    later: (ms, run) => setTimeout(run, ms),
  };

  async function loadMe() {
    const answer = await link.get('/api/me');
    if (answer.status === 200) page.me = answer.body;
    changed();
  }

  async function loadDays() {
    const answer = await link.get('/api/days');
    page.daysTrouble = answer.status !== 200;
    if (answer.status === 200) page.days = answer.body.days ?? {};
    changed();
  }

  async function loadKitchens() {
    const answer = await link.get('/api/kitchens');
    if (answer.status === 200) page.kitchens = answer.body.kitchens ?? answer.body;
    changed();
  }

  async function loadFoods() {
    const answer = await link.get('/api/foods');
    if (answer.status === 200) page.foods = answer.body.foods ?? [];
    changed();
  }

  async function becomeLead(key) {
    history.replaceState(null, '', '#/');
    page.at = screenAt('#/');
    const answer = await link.post('/api/me', { lead_key: key });
    page.leadTrouble = answer.status === 200 ? null : (answer.body ?? { status: answer.status });
    await loadMe();
    await loadDays();
  }

  function openBoard(day) {
    if (page.board?.day === day) return;
    page.board?.stop();
    page.board = day ? boardOf(day, outside) : null;
    page.heard = day ? memory.heard(day) : [];
    page.known = day ? memory.known(day) : [];
    page.helperId = day ? memory.helper(day) : null;
    page.answered = {};
    page.board?.start();
  }

  function goto() {
    page.at = screenAt(location.hash);
    if (page.at.screen === 'lead-key') {
      becomeLead(page.at.key);
      return;
    }
    openBoard(page.at.screen === 'look-back' ? null : (page.at.day ?? null));
    if (['days', 'begin', 'look-back'].includes(page.at.screen)) loadDays();
    if (page.at.screen === 'set-up' && !page.foods) loadFoods();
    scrollTo(0, 0);
    changed();
  }

  const actions = {
    get: link.get,
    post: link.post,
    loadKitchens,
    uuid: () => uuidFrom(randomBytes()),
    wallClock: () => Date.now(),
    monotonic: () => performance.now(),
    go(hash) {
      location.hash = hash;
    },
    useHelper(id) {
      memory.keepHelper(page.at.day, id);
      page.helperId = id;
      changed();
    },
    hear(key) {
      page.heard = [...page.heard, key];
      memory.keepHeard(page.at.day, page.heard);
      changed();
    },
    know(key) {
      page.known = [...page.known, key];
      memory.keepKnown(page.at.day, page.known);
      changed();
    },
    setAside(id) {
      page.answered = { ...page.answered, [id]: performance.now() };
      changed();
    },
    setSound(on) {
      page.sound = on;
      memory.keepSound(on);
      changed();
    },
    mint: (kind) => `${kind}-${shortId()}`,
    send: (command, options) => page.board.send(command, options),
    dismiss: (id) => page.board.dismiss(id),
    pending: (test) => Boolean(page.board?.entries.some(test)),
  };

  /** Everything a screen may read, as of now. */
  function app() {
    const { board } = page;
    const view = board?.store.view ?? null;
    const now = board ? board.now() : null;
    const outlook = view?.day?.phase === 'open' ? board.store.outlook : null;
    return {
      ...actions,
      ...page,
      day: page.at.day,
      view,
      now,
      lead: page.me?.role === 'lead',
      entries: board?.entries ?? [],
      refusals: board?.refusals ?? [],
      line: board?.line ?? { up: true, since: 0 },
      trouble: board?.trouble ?? null,
      closed: view?.day?.phase === 'closed',
      timers: timersOf(view, now),
      outlook,
      aside: stillAside(page.answered, performance.now()),
      ahead: freshOutlook(outlook, now, board?.store.heard?.speed),
    };
  }

  return { app, goto, loadMe };
}
