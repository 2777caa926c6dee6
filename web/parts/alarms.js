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

/** Whether the one at this device could see to it; a child kept from heat is asked to tell. */
function couldSeeTo(app, alarm) {
  if (app.at.screen !== 'helper') return true;
  const helper = app.view?.helpers?.[app.helperId];
  return !helper || (helper.may?.[alarm.station] ?? 'allowed') !== 'never';
}

function Alarm({ app, alarm }) {
  return html`<div class="alarm">
    <${Mark} of="due" size="28" />
    <p>
      <strong>${timerWords(app.view, alarm)}</strong>
      <span
        >${-alarm.left < 1000 ? t('alarm.now') : t('alarm.over', { span: span(-alarm.left) })}</span
      >
    </p>
    ${
      couldSeeTo(app, alarm)
        ? html`<button class="button" onClick=${() => app.hear(alarm.key)}>
            ${t('alarm.heard')}
          </button>`
        : html`<b>${t('alarm.tell')}</b>`
    }
  </div>`;
}

/** Children kept from heat are told of it only when nobody came for a minute. */
const TOLD_AFTER_MS = 60000;

/** The alarms that ring, most urgent first. */
export function Alarms({ app }) {
  const alarms = alarmsOf(app.timers, app.heard).filter(
    (alarm) => couldSeeTo(app, alarm) || alarm.left <= -TOLD_AFTER_MS,
  );
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
    ${alarms.slice(0, 3).map((alarm) =>
      html`<${Alarm} key=${alarm.key} app=${app} alarm=${alarm} />`)}
    ${alarms.length > 3 &&
      html`<p class="alarm-more">${t('alarm.more', { n: alarms.length - 3 })}</p>`}
  </section>`;
}
