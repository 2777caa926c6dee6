// Finds the words for a key and puts the parameters in. Not the words
// themselves. Invariant: a key without words shows itself, so a gap is seen and breaks nothing.

import words, { language, names, polished, refusals } from './device.js';

let spoken = { default: words, language, names, polished, refusals };
let rules = new Intl.PluralRules(language);
let later = {};

/** Changes the language: `file` is a whole language file, `parts` what came later of it, as modules. */
export function speak(file, parts = []) {
  spoken = file;
  rules = new Intl.PluralRules(file.language);
  later = {};
  parts.forEach(alsoSpeak);
}

/** Adds words of the language spoken that are not needed at first. */
export function alsoSpeak(part) {
  later = { ...later, ...part.default };
}

/** The language that is spoken now: "en", "es". */
export const spokenNow = () => spoken.language;

/** A name in this language where the program itself gave it; what people typed stays theirs. */
export const given = (name) =>
  Object.prototype.hasOwnProperty.call(spoken.names, name) ? spoken.names[name] : name;

/** Whether there are words for the key. */
export const known = (key) => key in spoken.default || key in later;

/**
 * The words for `key`. `{name}` is replaced by the parameter; `{n?jar:jars}` picks the first form
 * where the language counts the parameter as one. A function makes its own sentence of the
 * parameters.
 */
export function t(key, params = {}) {
  const found = spoken.default[key] ?? later[key] ?? key;
  return spoken.polished(typeof found === 'function' ? found(params) : filled(found, params));
}

/**
 * A refusal in this language: `{what, instead}`, or null where the server's own words serve. Takes
 * the first sentence whose parameters are all there.
 */
export function refusalWords(code, params = {}) {
  if (!code || !Object.prototype.hasOwnProperty.call(spoken.refusals, code)) return null;
  const [sentences, instead] = spoken.refusals[code];
  const named = Object.fromEntries(
    Object.entries(params).map(([word, value]) => [word, given(value)]),
  );
  const complete = (sentence) =>
    [...sentence.matchAll(/\{(\w+)\}/g)].every(([, word]) => named[word]);
  const what = sentences.find(complete);
  return what ? { what: filled(what, named), instead: filled(instead, named) } : null;
}

function filled(found, params) {
  return found
    .replace(/\{(\w+)\?([^:{}]*):([^{}]*)\}/g, (_, name, one, many) =>
      rules.select(Number(params[name])) === 'one' ? one : many,
    )
    .replace(/\{(\w+)\}/g, (_, name) => String(params[name] ?? ''));
}
