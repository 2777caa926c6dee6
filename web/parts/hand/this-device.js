// How this device answers one helper: pictures in the place of words, sounds, reading aloud.
// <${ThisDevice} app=${app} helper=${helper} helperId="bo" onClose=${close} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { Sheet } from '../sheet.js';
import { answer, answersAloud } from '../tap-sounds.js';
import { speak, useVoice } from '../voice.js';

/** Younger than this, most children cannot read yet. */
const READS_FROM_AGE = 7;
const picturesKey = (helperId) => `pictures.${helperId}`;
const voiceKey = (helperId) => `voice.${helperId}`;

/** Whether a helper is shown pictures in the place of words on this device. */
export function seesPictures(app, helper, helperId) {
  const chosen = app.choice(picturesKey(helperId));
  return chosen ? chosen === 'on' : helper.age < READS_FROM_AGE;
}

/** Whether this device reads to a helper by itself when something new is asked. */
export function isReadTo(app, helper, helperId) {
  const chosen = app.choice(voiceKey(helperId));
  return chosen ? chosen === 'on' : seesPictures(app, helper, helperId);
}

function Switch({ words, on, onTurn }) {
  return html`<label class="check device-switch"
    ><input type="checkbox" checked=${on} onChange=${(event) => onTurn(event.target.checked)} /><span
      >${words}</span
    ></label
  >`;
}

/** The switches; each is kept on this device alone. */
export function ThisDevice({ app, helper, helperId, onClose }) {
  const voice = useVoice();
  const turn = (key) => (on) => app.choose(key, on ? 'on' : 'off');
  return html`<${Sheet} app=${app} title=${t('device.title')} onClose=${onClose}>
    <${Switch}
      words=${t('device.pictures')}
      on=${seesPictures(app, helper, helperId)}
      onTurn=${turn(picturesKey(helperId))}
    />
    <${Switch}
      words=${t('device.taps')}
      on=${answersAloud(app)}
      onTurn=${(on) => {
        turn('taps')(on);
        answer(app, 'done');
      }}
    />
    <${Switch} words=${t('sound')} on=${app.sound} onTurn=${app.setSound} />
    ${
      voice
        ? html`<${Switch}
            words=${t('device.voice')}
            on=${isReadTo(app, helper, helperId)}
            onTurn=${(on) => {
              turn(voiceKey(helperId))(on);
              if (on) speak([t('device.voice-on')]);
            }}
          />`
        : html`<p class="soft">${t('device.no-voice')}</p>`
    }
  <//>`;
}
