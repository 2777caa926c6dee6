// How far the day is: finished of wanted packages by what they are counted in.
// <${Progress} view=${view} />

import { html } from '../ui.js';
import { known, t } from '../words/words.js';
import { decimal } from '../core/format.js';
import { progressOf } from '../core/flow.js';
import { manner } from '../core/manner.js';
import { shownAs } from '../core/units.js';
import { Pile } from './pile.js';

/** "23 of 42 quarts" of one kind. */
export function progressWords(sum) {
  const { units } = manner();
  const [done, wanted] = [sum.finished, sum.wanted].map((n) => shownAs(n, sum.kind, units));
  // Both sides in one unit: where one is small, as they are counted.
  const alike = done.measure === wanted.measure && known(`progress.${done.measure}`);
  const [finished, of] = alike ? [done.amount, wanted.amount] : [sum.finished, sum.wanted];
  const kind = alike ? done.measure : sum.kind;
  const params = {
    finished: decimal(finished),
    wanted: decimal(of),
    n: (of || finished) / 1000,
  };
  return t(sum.wanted > 0 ? `progress.${kind}` : `progress-open.${kind}`, params);
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
