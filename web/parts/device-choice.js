// Which language and measures this device uses: two pairs of buttons, each language by its own
// name, so that it is found by who cannot read the other. <${DeviceChoice} app=${app} />

import { html, useState } from '../ui.js';
import { spokenNow, t } from '../words/words.js';
import { manner } from '../core/manner.js';
import { LANGUAGES, UNITS } from '../tongue.js';

function Pair({ label, now, options, onPick }) {
  return html`<span class="device-pair" role="group" aria-label=${label}
    >${options.map(
      ([id, words, lang]) =>
        html`<button
          key=${id}
          type="button"
          class="button device-button"
          lang=${lang}
          aria-pressed=${id === now ? 'true' : 'false'}
          onClick=${() => onPick(id)}
        >
          ${words}
        </button>`,
    )}</span
  >`;
}

/** The two choices of a device, in one line. */
export function DeviceChoice({ app }) {
  const [failed, setFailed] = useState(false);
  const pick = async (language) => setFailed(!(await app.chooseLanguage(language)));
  return html`<div class="device" role="group" aria-label=${t('device.title')}>
    <${Pair}
      label=${t('device.language')}
      now=${spokenNow()}
      options=${LANGUAGES.map(([id, words]) => [id, words, id])}
      onPick=${pick}
    />
    <${Pair}
      label=${t('device.units')}
      now=${manner().units}
      options=${UNITS.map((one) => [one, t(`device.units-${one}`)])}
      onPick=${app.chooseUnits}
    />
    ${failed && html`<p role="alert">${t('device.not-loaded')}</p>`}
  </div>`;
}
