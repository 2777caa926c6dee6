// Reads sentences aloud with a voice that is on this device; never with one that asks a server
// somewhere. Complete without. `speak(['You are at the wash.'])`, <${Speaker} says=${list} />

import { html, useEffect, useState } from '../ui.js';
import { t } from '../words/words.js';
import { HandPicture } from './hand/tile.js';

const synthesis = () => globalThis.speechSynthesis;
const pageLanguage = () => document.documentElement.lang || 'en';

/** A voice of this device for the page's language, or null. */
export function localVoice() {
  const language = pageLanguage().slice(0, 2).toLowerCase();
  const voices = synthesis()?.getVoices?.() ?? [];
  const mine = voices.filter(
    (one) => one.localService && one.lang.slice(0, 2).toLowerCase() === language,
  );
  return mine.find((one) => one.default) ?? mine[0] ?? null;
}

/** Says the sentences, and stops saying what was said before. */
export function speak(sentences) {
  const voice = localVoice();
  if (!voice) return;
  const words = new SpeechSynthesisUtterance(sentences.join(' '));
  words.voice = voice;
  words.lang = voice.lang;
  words.rate = 0.9;
  synthesis().cancel();
  synthesis().speak(words);
}

/** Says nothing any more. */
export const hush = () => synthesis()?.cancel?.();

/** Whether there is a voice; browsers find theirs some time after the page is there. */
export function useVoice() {
  const [found, setFound] = useState(() => Boolean(localVoice()));
  useEffect(() => {
    const look = () => setFound(Boolean(localVoice()));
    synthesis()?.addEventListener?.('voiceschanged', look);
    look();
    return () => synthesis()?.removeEventListener?.('voiceschanged', look);
  }, []);
  return found;
}

/**
 * The picture to tap for hearing what to do; nothing where there is no voice. With `aloud` it
 * also speaks by itself when `asks` changes.
 */
export function Speaker({ asks, says, aloud }) {
  const found = useVoice();
  useEffect(() => {
    if (found && aloud) speak(says);
    return hush;
  }, [asks, found, aloud]);
  if (!found) return null;
  return html`<button class="button speaker" onClick=${() => speak(says)}>
    <${HandPicture} of="speak" size="32" /><span class="only-read">${t('say.again')}</span>
  </button>`;
}
