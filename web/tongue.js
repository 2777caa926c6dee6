// Which language and measures this device uses: what its browser says at first, then what the
// person chose; remembered. Tells the words and the manner, which are pure. Invariant: the words of
// one language are fetched, the other's only when it is chosen; those of a part of the program when
// that part is.

import * as memory from './memory.js';
import { mannerOf, setManner } from './core/manner.js';
import { alsoSpeak, speak, spokenNow } from './words/words.js';

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

const parts = [];
const wordsOf = (part, language) => import(`./words/${part}/${language}.js`);

/** Fetches the words of a part of the program: those in the folder `words/PART`. */
export async function fetchWords(part) {
  const language = spokenNow();
  alsoSpeak(await wordsOf(part, language));
  if (!parts.includes(part)) parts.push(part);
  // The language was changed meanwhile.
  if (language !== spokenNow()) await fetchWords(part);
}

/** Changes the language, once its words are here; false where they cannot be fetched. */
export async function chooseLanguage(language) {
  try {
    const [file, ...rest] = await Promise.all([
      import(`./words/${language}.js`),
      ...parts.map((part) => wordsOf(part, language)),
    ]);
    speak(file, rest);
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
