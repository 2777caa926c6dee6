// What this page knows and can do, gathered into the one `app` object that screens are given.
// Holds the state of the page; the day's own state is the board's. Invariant: every change ends in
// one call of `changed`, so the screen always shows the newest state.

import * as link from './net/link.js';
import * as memory from './memory.js';
import { boardOf } from './core/board.js';
import { screenAt, wayIn } from './core/address.js';
import { heeded, remembered, taken } from './core/device.js';
import { hasBegun } from './core/first-steps.js';
import { freshOutlook, stillAside } from './core/outlook.js';
import { orderWords } from './core/orders.js';
import { timersOf } from './core/timers.js';
import { inTongue } from './core/given.js';
import { uuidFrom, verdictOf } from './core/protocol.js';
import { chooseLanguage, chooseUnits } from './tongue.js';

const CLAIM_AGAIN_MS = 3000;
/** What an address may bring, as the server is told of it. */
const KEYS = { 'lead-key': 'lead_key', code: 'code', watch: 'watch' };
const randomBytes = () => crypto.getRandomValues(new Uint8Array(16));
const shortId = () => [...randomBytes().slice(0, 5)].map((one) => (one % 36).toString(36)).join('');

/** Runs after the next frame, and at the latest after that: a hidden page shows no frames. */
const LATEST_MS = 100;

function afterFrame(run) {
  let due = true;
  const once = () => {
    if (due) run();
    due = false;
  };
  requestAnimationFrame(() => setTimeout(once));
  setTimeout(once, LATEST_MS);
}

/** The desk of a page; `changed()` is called after every change. */
export function deskOf(changed) {
  const page = {
    me: null,
    coming: false,
    doorTrouble: null,
    days: null,
    daysTrouble: false,
    kitchens: null,
    at: screenAt(location.hash),
    board: null,
    sound: memory.sound(),
    known: [],
    foods: null,
    helperId: null,
    users: remembered(null, [], null),
    claiming: null,
    answered: {},
  };
  const outside = {
    link,
    memory,
    randomBytes,
    chance: Math.random,
    changed() {
      heedHolders();
      changed();
    },
    monotonic: () => performance.now(),
    later: (ms, run) => setTimeout(run, ms),
    shown: afterFrame,
    putOut: () => loadMe(),
  };

  function keepUsers(users) {
    page.users = users;
    page.helperId = users.helper;
    memory.keepHelper(page.at.day, users.helper);
    memory.keepUsers(page.at.day, users);
  }

  /** Whoever went on at another device leaves this one. */
  function heedHolders() {
    const holders = page.board?.holders;
    if (!holders || !page.me) return;
    const users = heeded(page.users, holders, page.me.device, page.claiming);
    if (users !== page.users) keepUsers(users);
  }

  /** Tells the kitchen that this device stands for a helper; again until it is heard. */
  async function claim(day, id) {
    page.claiming = id;
    const answer = await link.post(`/api/days/${day}/holders`, { helper: id });
    if (page.claiming !== id || page.at.day !== day) return;
    if (answer.status === 200) {
      page.claiming = null;
      if (page.me) page.me = { ...page.me, device: answer.body.device };
      if (page.board) page.board.holders = answer.body.holders;
    } else if (verdictOf(answer.status || 503) === 'again') {
      setTimeout(() => page.claiming === id && claim(day, id), CLAIM_AGAIN_MS);
    } else page.claiming = null;
    outside.changed();
  }

  let meeting = null;

  /** Who this device is to the kitchen. */
  function loadMe() {
    meeting = Promise.resolve(meeting).then(askWho);
    return meeting;
  }

  async function askWho() {
    const answer = await link.get('/api/me');
    if (answer.status === 200) know(answer.body);
    enter();
    outside.changed();
  }

  const isGuest = () => page.me?.role === 'guest';

  /** A guest follows no day; whoever was in once is told so when it is out. */
  function know(me) {
    page.me = me;
    if (isGuest()) openBoard(null);
    else memory.keepChoice('was-in', 'yes');
  }

  async function loadDays() {
    if (isGuest()) return;
    const answer = await link.get('/api/days');
    if (answer.status === 401) {
      loadMe();
      return;
    }
    page.daysTrouble = answer.status !== 200;
    if (answer.status === 200) page.days = answer.body.days ?? {};
    enter();
    changed();
  }

  /** Whoever types the bare address means the one day that goes on; the lead has more to choose. */
  function enter() {
    // An address that was opened meanwhile is not replaced.
    const bare = page.at.bare && screenAt(location.hash).bare;
    const way = bare && page.me && wayIn(page.days, page.me.role === 'lead', memory.helper);
    if (!way) return;
    history.replaceState(null, '', way);
    goto();
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

  /** Brings a key to the server, once what was asked before is answered; gives the status. */
  function bring(key) {
    meeting = Promise.resolve(meeting).then(async () => {
      const answer = await link.post('/api/me', key);
      const opened = answer.status === 200;
      page.doorTrouble = opened ? null : (answer.body ?? { status: answer.status });
      if (opened) know(answer.body);
      return answer.status;
    });
    return meeting;
  }

  /** Comes in by the key in the address, which stands there no longer once it is answered. */
  async function comeIn({ screen, key, then }) {
    const { hash } = location;
    page.at = screenAt(then);
    page.coming = true;
    changed();
    const status = await bring({ [KEYS[screen]]: key });
    if (!page.me && status) await loadMe();
    page.coming = false;
    // Another address was opened meanwhile.
    if (location.hash !== hash) return;
    if (status === 0) setTimeout(() => location.hash === hash && goto(), CLAIM_AGAIN_MS);
    else history.replaceState(null, '', then || location.pathname);
    if (status === 0) changed();
    else goto();
  }

  function openBoard(day) {
    if (page.board?.day === day) return;
    page.board?.stop();
    page.board = day ? boardOf(day, outside) : null;
    page.known = day ? memory.known(day) : [];
    const { shared, moved } = day ? memory.users(day) : { shared: [], moved: null };
    page.users = remembered(day ? memory.helper(day) : null, shared, moved);
    page.helperId = page.users.helper;
    page.claiming = null;
    page.answered = {};
    page.board?.start();
  }

  function goto() {
    page.at = screenAt(location.hash);
    if (KEYS[page.at.screen]) {
      comeIn(page.at);
      return;
    }
    const none = isGuest() || ['look-back', 'labels'].includes(page.at.screen);
    openBoard(none ? null : (page.at.day ?? null));
    if (['days', 'begin', 'look-back'].includes(page.at.screen)) loadDays();
    if (page.at.screen === 'set-up' && !page.foods) loadFoods();
    scrollTo(0, 0);
    changed();
  }

  const actions = {
    get: link.get,
    post: link.post,
    loadKitchens,
    loadFoods,
    uuid: () => uuidFrom(randomBytes()),
    wallClock: () => Date.now(),
    monotonic: () => performance.now(),
    go(hash) {
      location.hash = hash;
    },
    loadDays,
    async bring(key) {
      await bring(key);
      goto();
    },
    useHelper(id) {
      keepUsers(taken(page.users, id));
      claim(page.at.day, id);
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
    choice: memory.choice,
    choose(name, text) {
      memory.keepChoice(name, text);
      changed();
    },
    async chooseLanguage(language) {
      const done = await chooseLanguage(language);
      changed();
      return done;
    },
    chooseUnits(units) {
      chooseUnits(units);
      changed();
    },
    mint: (kind) => `${kind}-${shortId()}`,
    // In the words of now: by the time of an answer what it names may be gone.
    send: (command, options) =>
      page.board.send(command, { said: orderWords(page.board.store.view, command), ...options }),
    takeBack: (id, order) => page.board.takeBack(id, order),
    dismiss: (id) => page.board.dismiss(id),
    sawPutBack: () => page.board.sawPutBack(),
    pending: (test) => Boolean(page.board?.entries.some(test)),
  };

  /** Everything a screen may read, as of now. */
  function app() {
    const { board } = page;
    const kept = board?.store.view ?? null;
    // What is set up is shown and kept in the words of those who set it up.
    const view = page.at.screen === 'set-up' ? kept : inTongue(kept);
    const now = board ? board.now() : null;
    // Before the first box there is nothing to look ahead to.
    const outlook =
      view?.day?.phase === 'open' && hasBegun(view) ? board.store.outlook : null;
    return {
      ...actions,
      ...page,
      day: page.at.day,
      view,
      now,
      holders: board?.holders ?? {},
      lead: page.me?.role === 'lead',
      guest: isGuest() && !page.coming,
      doors: board?.doors ?? 0,
      wrongTries: board?.wrongTries ?? null,
      entries: board?.entries ?? [],
      refusals: board?.refusals ?? [],
      line: board?.line ?? { up: true, since: 0 },
      disk: board?.disk ?? null,
      forgetful: memory.forgetful(),
      trouble: board?.trouble ?? null,
      putBack: Boolean(board?.putBack),
      closed: view?.day?.phase === 'closed',
      timers: timersOf(view, now),
      outlook,
      aside: stillAside(page.answered, performance.now()),
      ahead: freshOutlook(outlook, now, board?.store.heard?.speed),
    };
  }

  /** Whether leaving now would shut the page out: it cannot be loaded again while out of touch. */
  const wouldBeMissed = () => {
    const { board } = page;
    return Boolean(board && !board.line.up && board.entries.length > 0);
  };

  /** Whoever brings a key is told by its answer who this device is. */
  function start() {
    if (!KEYS[page.at.screen]) loadMe();
    goto();
  }

  return { app, goto, start, wouldBeMissed, screen: () => page.at.screen };
}
