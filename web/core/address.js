// Reads the part of the address after `#` as a screen. Pure. Invariant: an address we do not know
// leads to the list of days, never to an empty page.

const SCREENS = [
  'set-up',
  'join',
  'helper',
  'lead',
  'wall',
  'look-back',
  'seals',
  'labels',
  'gather',
  'paper',
  'typed',
];

const isId = (text) => /^[a-z0-9][a-z0-9-]{0,39}$/.test(text ?? '');

/** What stands in an address that brings its own key. */
const KEYS = ['lead-key', 'code', 'watch'];

/** A key, and where the address leads once it has opened; without that, where its door leads. */
function keyAt([door, key, ...rest]) {
  const home = door === 'lead-key' ? '#/' : '';
  return { screen: door, key, then: rest.length ? `#/${rest.join('/')}` : home };
}

/**
 * `{screen, day?, key?, then?, bare?}` of a hash such as `#/day/plums-2026/lead`; `bare` says that nothing
 * was asked for, as when the address was typed by hand.
 */
export function screenAt(hash) {
  if (!hash || hash === '#') return { screen: 'days', bare: true };
  const [, first, second, third, ...rest] = String(hash).replace(/^#/, '').split('/');
  if (KEYS.includes(first) && second)
    return keyAt([first, second, third, ...rest].filter((part) => part !== undefined));
  if (['begin', 'prepare', 'learned', 'shelf', 'carry'].includes(first)) return { screen: first };
  const isDay = first === 'day' && isId(second);
  if (first === 'lot' && isId(second) && third)
    return { screen: 'lot', lotDay: second, code: third.toUpperCase() };
  if (isDay) return { screen: SCREENS.includes(third) ? third : 'join', day: second };
  return { screen: 'days' };
}

/**
 * Where the bare address leads on a device: into the one day that goes on, to its helper's screen
 * if `helperOn(day)` remembers one; null to stay, as when there is a choice or the lead comes.
 */
export function wayIn(days, isLead, helperOn) {
  const open = Object.entries(days ?? {}).filter(([, day]) => day.phase === 'open');
  if (isLead || open.length !== 1) return null;
  const [[id]] = open;
  return `#/day/${id}/${helperOn(id) ? 'helper' : 'join'}`;
}
