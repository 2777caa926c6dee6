// Alarms that ring until somebody at this device takes note. With sound where the browser allows
// it, complete without. <${Alarms} app=${app} />

import { html, useEffect } from '../ui.js';
import { t } from '../words/words.js';
import { span } from '../core/format.js';
import { alarmsOf } from '../core/timers.js';
import { timerWords } from './timers.js';
import { Mark } from './pictures.js';

const REPEAT_MS = 30000;
let audio = null;

/** Browsers give sound only after a touch; the first one anywhere opens it. */
export function allowSound() {
  const Audio = globalThis.AudioContext ?? globalThis.webkitAudioContext;
  if (!audio && Audio) audio = new Audio();
  audio?.resume?.();
}

function ring() {
  if (!audio || audio.state !== 'running') return;
  [0, 0.35, 0.7].forEach((after) => {
    const tone = audio.createOscillator();
    const loud = audio.createGain();
    tone.frequency.value = 740;
    const start = audio.currentTime + after;
    loud.gain.setValueAtTime(0, start);
    loud.gain.linearRampToValueAtTime(0.25, start + 0.02);
    loud.gain.linearRampToValueAtTime(0, start + 0.25);
    tone.connect(loud).connect(audio.destination);
    tone.start(start);
    tone.stop(start + 0.3);
  });
}

/** The alarms that ring, most urgent first. */
export function Alarms({ app }) {
  const alarms = alarmsOf(app.timers, app.heard);
  const keys = alarms.map((alarm) => alarm.key).join(' ');
  useEffect(() => {
    if (!keys || !app.sound) return undefined;
    ring();
    globalThis.navigator?.vibrate?.([200, 100, 200]);
    const repeat = setInterval(ring, REPEAT_MS);
    return () => clearInterval(repeat);
  }, [keys, app.sound]);
  if (!alarms.length) return null;
  return html`<section class="alarms" role="alert" aria-label=${t('alarm.title')}>
    ${alarms.slice(0, 3).map((alarm) => html`<div class="alarm" key=${alarm.key}>
      <${Mark} of="due" size="30" />
      <p><strong>${timerWords(app.view, alarm)}</strong>
        <span>${-alarm.left < 1000 ? t('alarm.now') : t('alarm.over', { span: span(-alarm.left) })}</span></p>
      <button class="button" onClick=${() => app.hear(alarm.key)}>${t('alarm.heard')}</button>
    </div>`)}
    ${alarms.length > 3 && html`<p class="alarm-more">${t('alarm.more', { n: alarms.length - 3 })}</p>`}
  </section>`;
}
