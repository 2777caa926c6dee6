// What this device remembers across reloads: unsent commands, refusals not yet read, who is using
// it, what was acknowledged. Not for anything of the day itself. Invariant: works, forgetfully,
// where storage is switched off.

const PREFIX = 'putby.';
const spare = new Map();

function read(key) {
  try {
    return localStorage.getItem(PREFIX + key);
  } catch {
    return spare.get(key) ?? null;
  }
}

function write(key, text) {
  try {
    localStorage.setItem(PREFIX + key, text);
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
  try {
    return Object.keys(localStorage);
  } catch {
    return [...spare.keys()].map((k) => PREFIX + k);
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

/** Whether alarms make a sound on this device. */
export const sound = () => read('sound') !== 'off';

/** Remembers whether alarms make a sound. */
export const keepSound = (on) => write('sound', on ? 'on' : 'off');

/** Alarms that somebody at this device has taken note of. */
export const heard = (day) => parsed(read(`heard.${day}`), []);

/** Remembers the alarms taken note of. */
export const keepHeard = (day, list) => write(`heard.${day}`, JSON.stringify(list.slice(-60)));

/** Cautions that somebody at this device has read, as `helper/station`. */
export const known = (day) => parsed(read(`known.${day}`), []);

/** Remembers the cautions read. */
export const keepKnown = (day, list) => write(`known.${day}`, JSON.stringify(list.slice(-200)));
