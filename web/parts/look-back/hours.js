// Packages hour by hour, as bars with their numbers. <${Hours} back=${back} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { entriesOf } from '../../core/flow.js';

const sum = (hour) => Object.values(hour.packages ?? {}).reduce((all, n) => all + n, 0);

function said(back, hour) {
  const list = entriesOf(hour.packages);
  if (!list.length) return t('look-back.hour-none');
  return list.map(([id, n]) => `${n} × ${back.products?.[id] ?? id}`).join(', ');
}

/** A line for each hour. */
export function Hours({ back }) {
  const hours = back.hours ?? [];
  const most = Math.max(1, ...hours.map(sum));
  if (!hours.length) return null;
  return html`<section>
    <h2>${t('look-back.hours')}</h2>
    <ul class="hours">
      ${hours.map(
        (hour) =>
          html`<li key=${hour.from}>
            <span class="hour-when"
              >${t('look-back.hour', { from: timeOfDay(hour.from), to: timeOfDay(hour.to) })}</span
            >
            <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
              <rect width=${Math.max(0, (sum(hour) / most) * 100)} height="10" />
            </svg>
            <span>${said(back, hour)}</span>
          </li>`,
      )}
    </ul>
  </section>`;
}
