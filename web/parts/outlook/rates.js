// How a helper's work went at each station, for the lead alone, told kindly: nobody is compared
// with anybody. <${Rates} app=${app} id="wren" />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { carrierAt } from '../../core/outlook-words.js';
import { Fold } from '../sheet.js';

/** Fewer than this say nothing yet. */
const LEAST_SEEN = 2;

const rounded = (n) => (n < 10 ? Math.round(n * 2) / 2 : Math.round(n));

/** The fold; nothing before there is something to tell. */
export function Rates({ app, id }) {
  const rates = entriesOf(app.ahead?.helpers?.[id]?.rates).filter(
    ([, rate]) => rate.seen >= LEAST_SEEN,
  );
  if (!rates.length) return null;
  return html`<${Fold} title=${t('rate.title')}>
    <ul class="told">
      ${rates.map(([station, rate]) => {
        const name = carrierAt(app.view, station) ?? t('rate.carrier');
        return html`<li key=${station}>
          ${t('rate.line', {
            station: app.view.stations[station]?.name ?? station,
            n: rounded(rate.per_hour),
            name,
            low: rounded(rate.low),
            high: rounded(rate.high),
          })}${' '}
          <span class="soft">${t('rate.seen', { n: Math.floor(rate.seen), name })}</span>
        </li>`;
      })}
    </ul>
    <p class="hint">${t('rate.why')}</p><//
  >`;
}
