// Finds the words for a key and puts the parameters in. Not the words
// themselves. Invariant: a key without words shows itself, so a gap is seen and breaks nothing.

import words from './en.js';

/** Whether there are words for the key. */
export const known = (key) => key in words;

/**
 * The words for `key`. `{name}` is replaced by the parameter; `{n?jar:jars}` picks the first form
 * when the parameter is exactly one. A function makes its own sentence of the parameters.
 */
export function t(key, params = {}) {
  const found = words[key] ?? key;
  if (typeof found === 'function') return found(params);
  return found
    .replace(/\{(\w+)\?([^:{}]*):([^{}]*)\}/g, (_, name, one, many) =>
      params[name] === 1 ? one : many,
    )
    .replace(/\{(\w+)\}/g, (_, name) => String(params[name] ?? ''));
}
