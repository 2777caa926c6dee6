// A whole number with large less and more buttons, for wet hands.
// <${Stepper} label="Broken" value=${0} most=${7} onValue=${set} />

import { html } from '../ui.js';
import { t } from '../words/words.js';

/** Between 0 and `most`. */
export function Stepper({ label, sub, value, most = 99, onValue }) {
  const to = (n) => onValue(Math.max(0, Math.min(most, n)));
  return html`<div class="stepper" role="group" aria-label=${label}>
    <span class="stepper-words">${label}${sub && html`<small class="soft">${sub}</small>`}</span>
    <button
      type="button"
      class="button"
      aria-label=${t('stepper.less', { label })}
      disabled=${value <= 0}
      onClick=${() => to(value - 1)}
    >
      −
    </button>
    <output>${value}</output>
    <button
      type="button"
      class="button"
      aria-label=${t('stepper.more', { label })}
      disabled=${value >= most}
      onClick=${() => to(value + 1)}
    >
      +
    </button>
  </div>`;
}
