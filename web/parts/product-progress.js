// How far each product is, in words and as a bar: "23 of 42 quarts".
// `progressItems(app)` for a list.

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { decimal } from '../core/format.js';
import { progressByProduct } from '../core/flow.js';
import { progressWords } from './progress.js';

/** List items, as the products stand in the view. */
export function progressItems(app) {
  return progressByProduct(app.view, app.ahead).map((one) => ({
    key: one.id,
    kind: 'wall-product',
    node: html`<span
        >${app.view.products[one.id].name}${
          one.cooling > 0 &&
          html` <span class="soft">${t('progress.cooling', { n: decimal(one.cooling) })}</span>`
        }</span
      >
      <strong>${progressWords(one)}</strong>
      ${
        one.wanted > 0 &&
        html`<progress
          max=${one.wanted}
          value=${Math.min(one.finished, one.wanted)}
          aria-hidden="true"
        ></progress>`
      }`,
  }));
}
