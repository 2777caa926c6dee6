// Small sounds and shakes that answer a tap; alarms have their own, louder. Silent until the
// browser allows sound, complete without. `answer(app, 'done')`.

import { openAudio } from './sound.js';

/** Notes of each answer: hertz, and when they begin, in seconds. */
const NOTES = {
  done: [
    [523, 0],
    [784, 0.07],
  ],
  undone: [
    [523, 0],
    [392, 0.08],
  ],
  sent: [[659, 0]],
  over: [
    [523, 0],
    [659, 0.16],
    [784, 0.32],
  ],
};
const SHAKES = { done: 35, undone: [20, 50, 20], sent: 25, over: [90, 80, 90] };
const NOTE_S = 0.14;
const LOUD = 0.12;

/** Whether taps are answered with sound and shaking on this device. */
export const answersAloud = (app) => app.choice('taps') !== 'off';

function play(audio, notes) {
  for (const [hertz, after] of notes) {
    const tone = audio.createOscillator();
    const loud = audio.createGain();
    const start = audio.currentTime + after;
    tone.type = 'triangle';
    tone.frequency.value = hertz;
    loud.gain.setValueAtTime(0, start);
    loud.gain.linearRampToValueAtTime(LOUD, start + 0.015);
    loud.gain.exponentialRampToValueAtTime(0.001, start + NOTE_S);
    tone.connect(loud).connect(audio.destination);
    tone.start(start);
    tone.stop(start + NOTE_S);
  }
}

/** Answers a tap, if this device is to be heard and felt. */
export function answer(app, kind) {
  if (!answersAloud(app)) return;
  globalThis.navigator?.vibrate?.(SHAKES[kind]);
  const audio = openAudio();
  if (audio?.state === 'running') play(audio, NOTES[kind]);
}
