// Said where jars cool: they go to the shelf by the seal check only.
// <${SealsFirst} app=${app} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { whenWords } from '../../core/format.js';
import { sealChecks } from '../../core/seals.js';
import { Mark } from '../pictures.js';

/** When the next jars may be checked, or that they are due, with the way there. */
export function SealsFirst({ app }) {
  const [next] = sealChecks(app.view, app.now);
  const due = next && next.state !== 'cooling';
  return html`<div class="seals-first">
    <p>
      <${Mark} of=${due ? 'soon' : 'calm'} />
      <span>
        ${t('seals.first')}${' '}
        ${next && !due && t('seals.first-from', { at: whenWords(next.from, app.now) })}
      </span>
    </p>
    <a
      class=${due ? 'button button-act button-wide' : 'button button-wide'}
      href=${`#/day/${app.day}/seals`}
      >${t('nav.seals')}</a
    >
  </div>`;
}
