// Reads the part of the address after `#` as a screen. Pure. Invariant: an address we do not know
// leads to the list of days, never to an empty page.

const SCREENS = ['set-up', 'join', 'helper', 'lead', 'wall', 'look-back', 'seals'];

/** `{screen, day?, key?}` of a hash such as `#/day/plums-2026/lead`. */
export function screenAt(hash) {
  const [, first, second, third] = String(hash).replace(/^#/, '').split('/');
  if (first === 'lead-key' && second)
    return { screen: 'lead-key', key: decodeURIComponent(second) };
  if (first === 'begin') return { screen: 'begin' };
  const isDay = first === 'day' && /^[a-z0-9][a-z0-9-]{0,39}$/.test(second ?? '');
  if (isDay) return { screen: SCREENS.includes(third) ? third : 'join', day: second };
  return { screen: 'days' };
}
