// What to try next time, what the fruit gave and which moves were taken.
// <${Tries} back=${back} /> <${Fruit} back=${back} /> <${Moves} back=${back} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { listed, timeOfDay } from '../../core/format.js';
import { manner } from '../../core/manner.js';
import { entriesOf } from '../../core/flow.js';
import { tryWords } from '../../core/look-back.js';

/** Three things with their reasoning, most minutes first. */
export function Tries({ back }) {
  const list = back.tries ?? [];
  return html`<section>
    <h2>${t('look-back.tries')}</h2>
    ${
      list.length
        ? html`<p class="soft">${t('look-back.tries-about')}</p>
            <ol class="tries">
              ${list.map((one) => {
                const { what, why } = tryWords(back, one);
                return html`<li key=${`${one.try} ${one.station}`}>
                  <strong>${what}</strong><span class="soft">${why}</span>
                </li>`;
              })}
            </ol>`
        : html`<p>${t('look-back.tries-none')}</p>`
    }
  </section>`;
}

const pounds = (n) =>
  n.toLocaleString(manner().locale, { minimumFractionDigits: 2, maximumFractionDigits: 2 });

/** Pounds a quart, beside what is published. */
export function Fruit({ back }) {
  const list = entriesOf(back.fruit);
  if (!list.length) return null;
  return html`<section>
    <h2>${t('look-back.fruit')}</h2>
    <ul class="told">
      ${list.map(([id, one]) => {
        const real = { product: back.products?.[id] ?? id, n: pounds(one.lb_per_quart) };
        const planned = { planned: pounds(one.planned_lb_per_quart) };
        return html`<li key=${id}>
          <strong>${t('look-back.fruit-real', real)}</strong>
          <p>${t(one.measured ? 'look-back.fruit-counted' : 'look-back.fruit-plan', planned)}</p>
          ${one.published.map(({ low, high, source }) => {
            const key = low === high ? 'look-back.fruit-one' : 'look-back.fruit-range';
            const range = { low: pounds(low), high: pounds(high), source };
            return html`<p class="soft" key=${source}>${t(key, range)}</p>`;
          })}
        </li>`;
      })}
    </ul>
  </section>`;
}

/** Proposed moves that were taken, with what was foretold of them then. */
export function Moves({ back }) {
  const list = back.moves ?? [];
  return html`<section>
    <h2>${t('look-back.moves')}</h2>
    ${
      list.length
        ? html`<p class="soft">${t('look-back.moves-about')}</p>
            <ul class="told">
              ${list.map((one) => {
                const key = one.to ? 'look-back.move-to' : 'look-back.move-swap';
                const { to } = one;
                const params = { at: timeOfDay(one.at), who: listed(one.people), to };
                return html`<li key=${one.at}>${t(key, { ...params, n: one.gain_min })}</li>`;
              })}
            </ul>`
        : html`<p class="soft">${t('look-back.moves-none')}</p>`
    }
  </section>`;
}
