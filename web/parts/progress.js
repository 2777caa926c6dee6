// How far the day is: finished of wanted packages by what they are counted in.
// <${Progress} view=${view} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { decimal } from '../core/format.js';
import { progressOf } from '../core/flow.js';
import { Pile } from './pile.js';

/** "23 of 42 quarts" of one kind. */
export function progressWords(sum) {
  const params = {
    finished: decimal(sum.finished),
    wanted: decimal(sum.wanted),
    n: (sum.wanted || sum.finished) / 1000,
  };
  return t(sum.wanted > 0 ? `progress.${sum.kind}` : `progress-open.${sum.kind}`, params);
}

/** All kinds, each with a bar that says the same. */
export function Progress({ view, large }) {
  const list = progressOf(view);
  if (!list.length) return null;
  return html`<ul class=${large ? 'progress progress-large' : 'progress'}>
    ${list.map(
      (sum) =>
        html`<li key=${sum.kind}>
          <${Pile}
            carriers=${1000}
            name="jar"
            measure=${['bag', 'tub'].includes(sum.kind) ? 'bag' : 'jar'}
            scale=${large ? 1.4 : 0.8}
            rows=${1}
          /><span>${progressWords(sum)}</span> ${
            sum.wanted > 0 &&
            html`<progress
              max=${sum.wanted}
              value=${Math.min(sum.finished, sum.wanted)}
              aria-label=${progressWords(sum)}
            ></progress>`
          }
          ${sum.cooling > 0 &&
            html`<small class="soft">${t('progress.cooling', { n: decimal(sum.cooling) })}</small>`}
        </li>`,
    )}
  </ul>`;
}
