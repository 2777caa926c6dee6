// What this device cannot do by itself, said plainly: its sound is locked or off, or its screen may
// fall asleep. One button opens the sound and lets it be heard. <${DeviceNotes} app=${app} />; where
// there is no line to spare, `brief` leaves only that button.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { awakeBy, keepAwake } from './keep-awake.js';
import { Mark } from './pictures.js';
import { soundState, testTone } from './sound.js';

const HEARD_MS = 12000;
/** When the tones were tried: a matter of the device, whichever screen stands there by then. */
let tried = null;

/** Shown only while something is amiss, and for a moment after a test tone. */
export function DeviceNotes({ app, brief }) {
  const [, drawAnew] = useState(null);
  const sound = soundState(app.sound);
  const sleepy = awakeBy() === 'nothing';
  const listening = tried !== null && app.monotonic() - tried < HEARD_MS;
  if (sound !== 'locked' && sound !== 'off' && !sleepy && !listening) return null;
  const open = async () => {
    keepAwake();
    if (!app.sound) app.setSound(true);
    await testTone();
    tried = app.monotonic();
    drawAnew(tried);
  };
  const mute = sound === 'locked' || sound === 'off';
  const said = t(mute ? `device.sound-${sound}` : 'device.may-sleep');
  const does = t(mute ? 'device.open-sound' : 'device.stay-awake');
  if (brief) {
    const short = t(mute ? 'device.mute-short' : 'device.sleep-short');
    if (!mute && !sleepy)
      return html`<p class="device-heard" role="status"><${Mark} of="bell" />${t('device.heard')}</p>`;
    return html`<button
      class="button device-brief"
      aria-label=${`${short}. ${said} ${does}`}
      title=${`${said} ${does}`}
      onClick=${open}
    >
      <${Mark} of=${mute ? 'mute' : 'soon'} size="22" /><span>${short}</span>
    </button>`;
  }
  return html`<aside class="device-notes" aria-label=${t('device.title')}>
    ${mute && html`<p><${Mark} of="mute" size="20" />${t(`device.sound-${sound}`)}</p>`}
    ${sleepy && html`<p><${Mark} of="soon" size="20" />${t('device.may-sleep')}</p>`}
    ${!mute && listening && html`<p role="status"><${Mark} of="bell" size="20" />${t('device.heard')}</p>`}
    ${
      (mute || sleepy) &&
      html`<button class="button" onClick=${open}>
        ${does}
      </button>`
    }
  </aside>`;
}
