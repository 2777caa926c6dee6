// "Do not fill yet": said at a filling station whose jars no canner could take in time. It only
// asks; what is filled can always be counted. <${HoldBrake} station=${station} now=${now} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { Mark } from '../pictures.js';

/** When about a canner can take jars, in words. */
function holdUntil(hold, now) {
  const known = hold.until !== undefined && now !== null && hold.until > now;
  return known ? t('hold.until', { at: timeOfDay(hold.until) }) : t('hold.unknown');
}

/** The brake, where the view sets it. */
export function HoldBrake({ station, now }) {
  const { hold } = station;
  if (!hold) return null;
  return html`<div class="brake" role="status">
    <${Mark} of="hand" size="40" />
    <p>
      <strong>${t('hold.title')}</strong>
      <span>${t(`hold.${hold.why ?? 'no-canner'}`)} ${holdUntil(hold, now)}</span>
      <small>${t('hold.still')}</small>
    </p>
  </div>`;
}
