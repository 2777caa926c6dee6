// The lead's column: warnings and timers by urgency, what helps, chores, low supplies, people. Each
// part keeps its place and height, so nothing moves under a finger.
// <${Side} app=${app} onOpen=${({ is, id, kind }) => ...} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { decimal, whenWords } from '../core/format.js';
import { pressing } from '../core/pressing.js';
import { lowSupplies } from '../core/warnings.js';
import { sealChecks } from '../core/seals.js';
import { helpersInOrder } from '../core/seats.js';
import { TimerLean } from './timers.js';
import { choreItems } from './chores.js';
import { SealsDue } from './seals/seals-due.js';
import { Mark } from './pictures.js';
import { Region } from './region.js';
import { Sign } from './signs.js';
import { Still } from './still.js';
import { AdviceRegion } from './outlook/advice.js';

/** A warning in its words. */
export function WarningLine({ warning, now }) {
  const params = {
    ...warning.params,
    ...(warning.params?.at && { at: whenWords(warning.params.at, now) }),
  };
  return html`<div class=${`warning warning-${warning.level}`}>
    <${Mark} of=${warning.level} />
    <span><strong>${t(`level.${warning.level}`)}</strong> ${t(warning.key, params)}</span>
  </div>`;
}

/** Warnings and timers as list items, most urgent first. */
export function pressingItems(app) {
  return pressing(app.view, app.timers, app.now).map(({ key, warning, timer }) => ({
    key,
    node: warning
      ? html`<${WarningLine} warning=${warning} now=${app.now} />`
      : html`<${TimerLean} view=${app.view} timer=${timer} />`,
  }));
}

/** What runs low, as list items. */
export function supplyItems(app, onOpen) {
  return lowSupplies(app.view).map(([id, supply]) => ({
    key: id,
    node: html`<button
      class="button button-line"
      onClick=${() => onOpen({ is: 'thing', kind: 'supplies', id })}
    >
      <${Mark} of="warn" size="18" /> <span>${supply.name}</span
      ><b>${t('supply.left', { amount: decimal(supply.stock) })}</b>
    </button>`,
  }));
}

/** Seals to check, as a list item. */
export function sealItems(app) {
  if (!sealChecks(app.view, app.now).length) return [];
  const node = html`<${SealsDue} view=${app.view} now=${app.now} day=${app.day} />`;
  return [{ key: 'seals', node }];
}

function People({ app, onPerson }) {
  const { helpers, stations } = app.view;
  const names = Object.entries(stations ?? {}).map(([id, { name }]) => `${id} ${name}`);
  return html`<${Still} of=${[helpers, `${names}`]}
    ><${Chips} view=${app.view} onPerson=${onPerson}
  /><//>`;
}

function Chips({ view, onPerson }) {
  return html`<ul class="people">
    ${helpersInOrder(view).map(([id, helper]) => {
      const station = view.stations?.[helper.station];
      const where =
        station?.name ??
        t(helper.presence === 'here' ? 'people.free' : `presence-short.${helper.presence}`);
      return html`<li key=${id}>
        <button class="person-chip" onClick=${() => onPerson(id)}>
          <${Sign} name=${helper.sign} of=${helper.name} size="20" />
          <span
            ><b>${helper.name}</b><small class=${station ? 'only-read' : ''}>${where}</small></span
          >
        </button>
      </li>`;
    })}
  </ul>`;
}

/** The column. */
export function Side({ app, onOpen }) {
  const chores = choreItems(app, { brief: true, onAsk: (id) => onOpen({ is: 'chore', id }) });
  return html`<aside class=${app.outlook ? 'side side-ahead' : 'side'} aria-label=${t('side.label')}>
    <${Region}
      name="now"
      title=${t('side.now')}
      items=${pressingItems(app)}
      none=${t('urgent.none')}
      onAll=${() => onOpen({ is: 'pressing' })}
    />
    <${AdviceRegion}
      app=${app}
      onMore=${() => onOpen({ is: 'outlook' })}
      onStation=${(id) => onOpen({ is: 'station', id })}
    />
    <${Region}
      name="chores"
      title=${t('side.chores')}
      items=${[...chores, ...supplyItems(app, onOpen), ...sealItems(app)]}
      none=${t('chore.none')}
      onAll=${() => onOpen({ is: 'chores' })}
    />
    <section class="region-people">
      <h2 class="only-read">${t('side.people')}</h2>
      <${People} app=${app} onPerson=${(id) => onOpen({ is: 'person', id })} />
    </section>
  </aside>`;
}
