// Choosing a picture sign. <${SignChoice} value="pear" onValue=${set} used=${['cat']} size="56" />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Sign, SIGNS } from './signs.js';

/** All signs as buttons; those of others are marked as taken. `titled` if a title stands above. */
export function SignChoice({ value, onValue, used = [], size = 44, titled }) {
  return html`<fieldset class="field">
    <legend class=${titled ? 'only-read' : 'field-label'}>${t('field.sign')}</legend>
    <div class="sign-choice">
      ${SIGNS.map((name) => {
        const taken = used.includes(name) && name !== value;
        return html`<button
          type="button"
          key=${name}
          class="sign-button"
          aria-pressed=${name === value}
          aria-label=${t(taken ? 'sign.taken' : 'sign.free', { name: t(`sign.${name}`) })}
          disabled=${taken}
          onClick=${() => onValue(name)}
        >
          <${Sign} name=${name} size=${size} />
        </button>`;
      })}
    </div>
  </fieldset>`;
}
