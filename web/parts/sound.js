// The sounds of this device. Browsers give sound only after a touch; the first one anywhere opens it.
// Not for what rings and when (core/alarms.js).

let audio = null;

/** Opens the sound; to be called from a touch or a key. */
export function allowSound() {
  const Audio = globalThis.AudioContext ?? globalThis.webkitAudioContext;
  if (!audio && Audio) audio = new Audio();
  return audio?.resume?.();
}

/** The sound that a touch has opened, or null. */
export const openAudio = () => audio;

/** 'on', 'off' (switched off here), 'locked' (by the browser, until a touch) or 'none'. */
export function soundState(wanted) {
  if (!(globalThis.AudioContext ?? globalThis.webkitAudioContext)) return 'none';
  if (!wanted) return 'off';
  return audio?.state === 'running' ? 'on' : 'locked';
}

/** Plays tones one after the other: `[after in seconds, hertz, seconds]` each. */
function play(tones) {
  if (audio?.state !== 'running') return;
  for (const [after, hertz, seconds] of tones) {
    const tone = audio.createOscillator();
    const loud = audio.createGain();
    const start = audio.currentTime + after;
    tone.frequency.value = hertz;
    loud.gain.setValueAtTime(0, start);
    loud.gain.linearRampToValueAtTime(0.3, start + 0.02);
    loud.gain.linearRampToValueAtTime(0, start + seconds);
    tone.connect(loud).connect(audio.destination);
    tone.start(start);
    tone.stop(start + seconds + 0.05);
  }
}

const vibrate = (pattern) => globalThis.navigator?.vibrate?.(pattern);

/** An alarm: three tones, more and longer ones the wider it is. */
export function ringAlarm(step, sound) {
  vibrate(step ? [300, 100, 300, 100, 500] : [200, 100, 200]);
  const times = 3 + step * 2;
  if (sound) play(Array.from({ length: times }, (_, n) => [n * 0.35, 740, 0.25]));
}

/** Someone is hurt: two tones in turn, unlike any alarm. */
export function ringHurt(sound) {
  vibrate([600, 150, 600, 150, 600]);
  const pairs = [0, 0.6, 1.2].flatMap((at) => [
    [at, 880, 0.28],
    [at + 0.3, 587, 0.28],
  ]);
  if (sound) play(pairs);
}

/** Two rising tones, to hear that the sound is on. */
export async function testTone() {
  await allowSound();
  play([
    [0, 523, 0.3],
    [0.35, 784, 0.4],
  ]);
}
