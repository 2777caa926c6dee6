// Tells the lead that somebody tries codes. <${TriesNotice} app=${app} onOpen=${show} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';

/** Who has mistyped once or twice is no news. */
const TOLD_FROM = 3;

/** Shown until it is put aside; more tries show it again. */
export function TriesNotice({ app, onOpen }) {
  const { count, last_at: at } = app.wrongTries;
  const seen = Number(app.choice('tries-seen') ?? 0);
  // After a restart the board counts from the beginning.
  const fresh = count < seen ? count : count - seen;
  if (fresh < TOLD_FROM) return null;
  return html`<p class="note-line access-notice" role="alert">
    <span>${t('access.tries', { n: fresh, at: timeOfDay(at) })}</span>
    <button class="button" onClick=${() => onOpen({ is: 'devices' })}>${t('access.tries-do')}</button>
    <button class="button" onClick=${() => app.choose('tries-seen', String(count))}>
      ${t('access.tries-away')}
    </button>
  </p>`;
}
