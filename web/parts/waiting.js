// What waits at a station: the pile, in carriers and as an amount, with its age.
// <${Waiting} app=${app} station=${station} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { carried, measured, span } from '../core/format.js';
import { waitingAt } from '../core/flow.js';
import { Pile } from './pile.js';
import { Standing } from './standing.js';

/** "3 bowls" of a waiting entry. */
export const inCarriers = (one) => carried(one.carriers ?? 0, one.carrier?.name ?? '');

const isOwnCarrier = ({ carrier, measure }) =>
  carrier?.holds === 1000 && carrier?.name === measure;

/** "3 bowls · 7.5 lb"; jars are their own carrier, so they are said once. */
export function depthWords(one) {
  if (isOwnCarrier(one)) return measured(one.amount, one.measure);
  return `${inCarriers(one)} · ${measured(one.amount, one.measure)}`;
}

/** The same in carriers alone, where there is no room for more. */
export const carriersWords = (one) =>
  isOwnCarrier(one) ? measured(one.amount, one.measure) : inCarriers(one);

function amountAndAge(app, one) {
  const amount = measured(one.amount, one.measure);
  if (!one.oldest_at || app.now === null) return amount;
  return `${amount} · ${t('waiting.oldest', { span: span(app.now - one.oldest_at) })}`;
}

/** Everything that waits, one line for each product. */
export function Waiting({ app, station, scale = 1 }) {
  const list = waitingAt(station);
  if (!list.length) return html`<p class="soft waiting-none">${t('waiting.none')}</p>`;
  return html`<ul class="waiting">
    ${list.map(
      (one) =>
        html`<li key=${one.product}>
          <${Pile}
            carriers=${one.carriers ?? 0}
            name=${one.carrier?.name}
            measure=${one.measure}
            scale=${scale}
          />
          <span class="waiting-words"
            ><strong>${inCarriers(one)}</strong>
            <span>${app.view.products[one.product]?.name ?? one.product}</span>
            ${
              one.stands
                ? html`<${Standing} app=${app} one=${one} />`
                : html`<small class="soft">${amountAndAge(app, one)}</small>`
            }</span
          >
        </li>`,
    )}
  </ul>`;
}
