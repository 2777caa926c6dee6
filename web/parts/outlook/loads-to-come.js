// The loads still to come at a canner station, with their times.
// <${LoadsToCome} app=${app} id="canners" named=${true} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { bandTimes, minutesShort } from '../../core/outlook-words.js';

function count({ loads_p50: middle, loads_p90: most }) {
  if (most === 0) return t('loads.none');
  return t(most > middle ? 'loads.perhaps' : 'loads.count', { n: middle, most });
}

/** The list; nothing where the board says nothing of this station. */
export function LoadsToCome({ app, id, named }) {
  const ahead = app.ahead?.canners?.[id];
  if (!ahead) return null;
  const station = app.view.stations[id]?.name ?? id;
  return html`<div class="loads-ahead">
    <p>
      ${named && html`<strong>${station}: </strong>`}${count(ahead)}${' '}
      ${ahead.idle_min >= 1 &&
        html`<span class="soft">${t('loads.idle', { span: minutesShort(ahead.idle_min) })}</span>`}
    </p>
    <ol class="load-times">
      ${ahead.next.map((band, index) => {
        const times = bandTimes(band, app.now);
        return html`<li key=${index}>
          <b>${t('loads.next', { n: index + 1, at: times.at })}</b>
          <small class="soft">${t('loads.between', times)}</small>
        </li>`;
      })}
    </ol>
  </div>`;
}
