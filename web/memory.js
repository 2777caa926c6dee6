// What this device remembers across reloads: unsent commands, refusals not yet read, who is using
// it, what was acknowledged. Not for anything of the day itself. Invariant: works, forgetfully,
// where storage is switched off or full, and `forgetful` says so.

const PREFIX = 'putby.';
const spare = new Map();

function read(key) {
  if (spare.has(key)) return spare.get(key);
  try {
    return localStorage.getItem(PREFIX + key);
  } catch {
    return null;
  }
}

function write(key, text) {
  try {
    localStorage.setItem(PREFIX + key, text);
    spare.delete(key);
  } catch {
    spare.set(key, text);
  }
}

function erase(key) {
  spare.delete(key);
  try {
    localStorage.removeItem(PREFIX + key);
  } catch {
    /* Nothing was kept there. */
  }
}

function keys() {
  const here = [...spare.keys()].map((key) => PREFIX + key);
  try {
    return [...new Set([...Object.keys(localStorage), ...here])];
  } catch {
    return here;
  }
}

function parsed(text, otherwise) {
  try {
    return JSON.parse(text) ?? otherwise;
  } catch {
    return otherwise;
  }
}

// Each command has a key of its own, so that two tabs on one device never overwrite each other.
const entryKey = (day, id) => `outbox.${day}.${id}`;

/** The texts of all unsent commands of a day. */
export function outbox(day) {
  const start = `${PREFIX}outbox.${day}.`;
  return keys()
    .filter((key) => key.startsWith(start))
    .map((key) => read(key.slice(PREFIX.length)))
    .filter(Boolean);
}

/** Keeps a command until it is acknowledged or refused. */
export const keep = (day, entry) => write(entryKey(day, entry.id), JSON.stringify(entry));

/** Whether a command is kept still; if not, another tab of this device has brought it. */
export const keeps = (day, id) => read(entryKey(day, id)) !== null;

/** Whether something could not be kept: it is lost with this page. */
export const forgetful = () => spare.size > 0;

/** Calls `run` when another tab of this device has kept or forgotten something. */
export function watch(run) {
  globalThis.addEventListener('storage', run);
  return () => globalThis.removeEventListener('storage', run);
}

/** Forgets a command. */
export const forget = (day, id) => erase(entryKey(day, id));

/** Refusals nobody has read yet. */
export const refusals = (day) => parsed(read(`refusals.${day}`), []);

/** Keeps the refusals. */
export const keepRefusals = (day, list) => write(`refusals.${day}`, JSON.stringify(list));

/** The helper who uses this device on this day, or null. */
export const helper = (day) => read(`helper.${day}`);

/** Remembers who uses this device. */
export const keepHelper = (day, id) => (id ? write(`helper.${day}`, id) : erase(`helper.${day}`));

/** Others who use this device on a day, and who went on at another: `{shared, moved}`. */
export const users = (day) => ({ shared: [], moved: null, ...parsed(read(`users.${day}`), {}) });

/** Remembers them. */
export const keepUsers = (day, { shared, moved }) =>
  write(`users.${day}`, JSON.stringify({ shared, moved }));

/** Whether alarms make a sound on this device. */
export const sound = () => read('sound') !== 'off';

/** Remembers whether alarms make a sound. */
export const keepSound = (on) => write('sound', on ? 'on' : 'off');

/** A choice made on this device, such as pictures in the place of words; null without one. */
export const choice = (name) => read(`choice.${name}`);

/** Remembers a choice; null forgets it. */
export const keepChoice = (name, text) =>
  text === null ? erase(`choice.${name}`) : write(`choice.${name}`, text);

/** Cautions that somebody at this device has read, as `helper/station`. */
export const known = (day) => parsed(read(`known.${day}`), []);

/** Remembers the cautions read. */
export const keepKnown = (day, list) => write(`known.${day}`, JSON.stringify(list.slice(-200)));

/** The measures chosen on this device, "us" or "metric", or null. */
export const units = () => read('units');

/** Remembers the measures. */
export const keepUnits = (chosen) => write('units', chosen);

const YEAR_S = 365 * 24 * 3600;

/** Remembers the language where the server sees it too, so that the right words come first. */
export function keepLanguage(language) {
  document.cookie = `putby-language=${language}; path=/; max-age=${YEAR_S}; samesite=strict`;
}
