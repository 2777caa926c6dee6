// How large a copy of the board is, in words. Pure.

import { manner } from './manner.js';

const UNITS = ['kB', 'MB', 'GB'];

/** A size in bytes in the unit that needs the fewest digits. */
export function sizeWords(bytes) {
  let [size, unit] = [bytes / 1000, 0];
  while (size >= 1000 && unit < UNITS.length - 1) [size, unit] = [size / 1000, unit + 1];
  const digits = { maximumFractionDigits: size < 10 ? 1 : 0 };
  return `${size.toLocaleString(manner().locale, digits)}\u00a0${UNITS[unit]}`;
}
