// The seal check of a day, open or closed: which loads are due, how a seal is tested, what becomes
// of each jar, and what is written on it.

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { whenWords } from '../core/format.js';
import { sealChecks } from '../core/seals.js';
import { Frame } from '../parts/frame.js';
import { jarsWords } from '../parts/canner/canners.js';
import { Labels } from '../parts/seals/labels.js';
import { SealForm } from '../parts/seals/seal-form.js';
import { SealHow } from '../parts/seals/seal-how.js';
import { Mark } from '../parts/pictures.js';
import { later } from '../parts/later.js';

const NextDay = later(() => import('../parts/next-day.js').then((found) => found.NextDay), {
  of: 'season',
});

function Check({ app, check }) {
  const { load, number, from, by, state } = check;
  const when = whenWords(state === 'cooling' ? from : by, app.now);
  return html`<section class="card" aria-label=${t('labels.load', { number })}>
    <h2>${t('labels.load', { number })}</h2>
    <p>${jarsWords(app.view, load)}</p>
    <p class=${state === 'late' ? 'caution caution-danger' : 'note-line'}>
      <${Mark} of=${{ cooling: 'calm', due: 'soon', late: 'due' }[state]} />
      <span>${t(`seals.when.${state}`, { at: when })}</span>
    </p>
    ${
      state !== 'cooling' &&
      html`<${SealForm} key=${JSON.stringify(load.unchecked)} app=${app} check=${check} />`
    }
  </section>`;
}

/** The screen at `#/day/ID/seals`. */
export function SealsScreen({ app }) {
  const list = sealChecks(app.view, app.now);
  const tools = html`<a class="button button-quiet" href="#/">${t('nav.days')}</a> ${
      !app.closed &&
      html`<a class="button button-quiet" href=${`#/day/${app.day}/${app.lead ? 'lead' : 'helper'}`}
        >${t(app.lead ? 'nav.lead' : 'nav.helper')}</a
      >`
    }`;
  return html`<${Frame}
    app=${app}
    title=${t('seals.title')}
    sub=${app.view.day.name}
    kind="seals"
    tools=${tools}
  >
    <div class="seals-columns no-print">
      <div class="seals-loads">
        ${list.length === 0 && html`<p>${t('seals.none')}</p>`}
        ${list.map((check) => html`<${Check} key=${check.id} app=${app} check=${check} />`)}
      </div>
      <${SealHow} />
    </div>
    <${NextDay} app=${app} />
    <${Labels} app=${app}
  /><//>`;
}
