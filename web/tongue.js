// Which language and measures this device uses: what its browser says at first, then what the
// person chose; remembered. Tells the words and the manner, which are pure. Invariant: the words of
// one language are fetched, the other's only when it is chosen.

import * as memory from './memory.js';
import { mannerOf, setManner } from './core/manner.js';
import { speak, spokenNow } from './words/words.js';

/** The languages there are, each by its own name. */
export const LANGUAGES = [
  ['en', 'English'],
  ['es', 'Español'],
];
export const UNITS = ['us', 'metric'];

function settle() {
  const found = mannerOf(navigator.languages ?? [navigator.language], spokenNow());
  const units = memory.units();
  setManner(UNITS.includes(units) ? { ...found, units } : found);
  const page = document.documentElement;
  page.lang = spokenNow();
  page.dir = 'ltr';
}

/** Takes the device's choices, or its browser's, as the page starts. */
export const startTongue = settle;

/** Changes the language, once its words are here; false where they cannot be fetched. */
export async function chooseLanguage(language) {
  try {
    speak(await import(`./words/${language}.js`));
  } catch {
    return false;
  }
  memory.keepLanguage(language);
  settle();
  return true;
}

/** Changes the measures. */
export function chooseUnits(units) {
  memory.keepUnits(units);
  settle();
}
