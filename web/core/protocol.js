// What goes over the wire: ids and bodies of commands, and the check of what the server pushes.
// No network here. Invariant: nothing that is not a well-formed push leaves `readPush`.

const hex = (byte) => byte.toString(16).padStart(2, '0');

/** A random UUID (version 4) from sixteen random bytes; plain http has no randomUUID. */
export function uuidFrom(bytes) {
  const b = Array.from(bytes.slice(0, 16));
  b[6] = (b[6] & 0x0f) | 0x40;
  b[8] = (b[8] & 0x3f) | 0x80;
  const text = b.map(hex).join('');
  return [
    text.slice(0, 8),
    text.slice(8, 12),
    text.slice(12, 16),
    text.slice(16, 20),
    text.slice(20),
  ].join('-');
}

const ID_LENGTH_MAX = 40;

/** A readable id from a name, unlike every id in `taken`: "Core & slice" becomes "core-slice". */
export function idFrom(name, taken, fallback) {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  const base = (plain || fallback).slice(0, ID_LENGTH_MAX - 4).replace(/-+$/, '');
  const used = new Set(taken);
  if (!used.has(base)) return base;
  let n = 2;
  while (used.has(`${base}-${n}`)) n += 1;
  return `${base}-${n}`;
}

const isClock = (clock) =>
  Boolean(clock) && Number.isFinite(clock.now) && Number.isFinite(clock.speed);
const isObject = (value) => value !== null && typeof value === 'object' && !Array.isArray(value);

// Without an outlook in it the push says that there is none any more.
const isOutlook = ({ clock, outlook }) =>
  isClock(clock) &&
  (outlook === undefined || (isObject(outlook) && Number.isFinite(outlook.at)));

/** The push in a text frame, or null when it is none that we know. */
export function readPush(text) {
  let push;
  try {
    push = JSON.parse(text);
  } catch {
    return null;
  }
  if (!isObject(push)) return null;
  if (push.push === 'problem' || push.push === 'doors') return push;
  if (push.push === 'holders') return isObject(push.holders) ? push : null;
  if (push.push === 'disk') return typeof push.writes === 'string' ? push : null;
  if (push.push === 'outlook') return isOutlook(push) ? push : null;
  if (!Number.isInteger(push.seq) || !isClock(push.clock)) return null;
  if (push.push === 'view') return isObject(push.view) ? push : null;
  if (push.push !== 'patch' || !Number.isInteger(push.from)) return null;
  return isObject(push.patch) ? push : null;
}

/**
 * How an answer to a command is taken: 'accepted', 'refused' or 'again' (try once more). A device that
 * was put out keeps what it has until it is in again.
 */
export function verdictOf(status) {
  if (status >= 200 && status < 300) return 'accepted';
  if (status === 401 || status === 408 || status === 425 || status === 429 || status >= 500) return 'again';
  return 'refused';
}
