// What can hurt at a station, in few words with a picture: shown once to each helper at each
// station, until they say that they know. <${CautionCards} app=${app} helperId="bo"
// stationId="slice" />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { cautionsFor } from '../core/cautions.js';
import { StepPicture } from './pictures.js';

/** The card; nothing once it is known on this device, or where nothing can hurt. */
export function CautionCards({ app, helperId, stationId }) {
  const list = cautionsFor(app.view, stationId);
  const key = `${helperId}/${stationId}`;
  if (!list.length || app.known.includes(key)) return null;
  return html`<section class="card caution-card" aria-label=${t('card.title')}>
    <h3>${t('card.title')}</h3>
    <ul class="fill-facts">
      ${list.map(
        (one) =>
          html`<li class="fill-fact" key=${one}>
            <${StepPicture} of=${one} size="48" /><span
              ><b>${t(`card.${one}`)}</b> ${t(`card.${one}-how`)}</span
            >
          </li>`,
      )}
    </ul>
    <button class="button button-act button-wide" onClick=${() => app.know(key)}>
      ${t('card.know')}
    </button>
  </section>`;
}
