// The lead's column: warnings and timers by urgency, chores, low supplies, people.
// <${Side} app=${app} onPerson=${open} onSupply=${open} onStation=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { decimal, whenWords } from '../core/format.js';
import { entriesOf } from '../core/flow.js';
import { lowSupplies, warningsOf } from '../core/warnings.js';
import { sealChecks } from '../core/seals.js';
import { helpersInOrder } from '../core/seats.js';
import { TimerLine } from './timers.js';
import { ChoreList } from './chores.js';
import { SealsDue } from './seals/seals-due.js';
import { Mark } from './pictures.js';
import { Sign } from './signs.js';
import { AdviceSection } from './outlook/advice.js';

/** A warning in its words. */
export function WarningLine({ warning, now }) {
  const params = {
    ...warning.params,
    ...(warning.params?.at && { at: whenWords(warning.params.at, now) }),
  };
  return html`<li class=${`warning warning-${warning.level}`}>
    <${Mark} of=${warning.level} />
    <span><strong>${t(`level.${warning.level}`)}</strong> ${t(warning.key, params)}</span>
  </li>`;
}

/** Warnings and timers. */
export function Urgent({ app, most = 6 }) {
  const warnings = warningsOf(app.view, app.now);
  const timers = app.timers;
  const room = Math.max(2, most - warnings.length);
  if (!warnings.length && !timers.length) return html`<p class="soft">${t('urgent.none')}</p>`;
  return html`<ul class="timers">
    ${warnings.map(
      (warning) =>
        html`<${WarningLine}
          key=${warning.key + (warning.load ?? warning.station ?? '')}
          warning=${warning}
          now=${app.now}
        />`,
    )}
    ${timers
      .slice(0, room)
      .map((timer) => html`<${TimerLine} key=${timer.key} view=${app.view} timer=${timer} />`)}
    ${timers.length > room && html`<li class="soft">${t('more', { n: timers.length - room })}</li>`}
  </ul>`;
}

function Supplies({ app, onSupply }) {
  const low = lowSupplies(app.view);
  if (!low.length) return html`<p class="soft">${t('supply.none-low')}</p>`;
  return html`<ul class="supplies">
    ${low.map(
      ([id, supply]) =>
        html`<li key=${id}>
          <button class="button button-line" onClick=${() => onSupply(id)}>
            <${Mark} of="warn" size="18" /> <span>${supply.name}</span
            ><b>${t('supply.left', { amount: decimal(supply.stock) })}</b>
          </button>
        </li>`,
    )}
  </ul>`;
}

function People({ app, onPerson }) {
  return html`<ul class="people">
    ${helpersInOrder(app.view).map(([id, helper]) => {
      const station = app.view.stations?.[helper.station];
      const where =
        station?.name ??
        t(helper.presence === 'here' ? 'people.free' : `presence-short.${helper.presence}`);
      return html`<li key=${id}>
        <button class="person-chip" onClick=${() => onPerson(id)}>
          <${Sign} name=${helper.sign} of=${helper.name} size="24" />
          <span
            ><b>${helper.name}</b><small class=${station ? 'only-read' : ''}>${where}</small></span
          >
        </button>
      </li>`;
    })}
  </ul>`;
}

/** The column. */
export function Side({ app, onPerson, onSupply, onStation, onOutlook }) {
  return html`<aside
    class=${app.outlook ? 'side side-ahead' : 'side'}
    aria-label=${t('side.label')}
    tabindex="0"
  >
    <section>
      <h2>${t('side.now')}</h2>
      <${Urgent} app=${app} />
    </section>
    <${AdviceSection} app=${app} onMore=${onOutlook} onStation=${onStation} />
    <section>
      <h2>${t('side.chores')}</h2>
      <${ChoreList} app=${app} most=${app.outlook ? 2 : 3} />
    </section>
    ${
      (app.outlook ? lowSupplies(app.view) : entriesOf(app.view.supplies)).length > 0 &&
      html`<section class="side-supplies">
        <h2>${t('side.supplies')}</h2>
        <${Supplies} app=${app} onSupply=${onSupply} />
      </section>`
    }
    ${
      sealChecks(app.view, app.now).length > 0 &&
      html`<section>
        <h2>${t('side.seals')}</h2>
        <${SealsDue} view=${app.view} now=${app.now} day=${app.day} />
      </section>`
    }
    <section>
      <h2>${t('side.people')}</h2>
      <${People} app=${app} onPerson=${onPerson} />
    </section>
  </aside>`;
}
