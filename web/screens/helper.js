// A helper's own screen: the station they sit at with one big action, or the seats to choose from.
// Not for corrections across the kitchen; those are the lead's.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { timersAt } from '../core/timers.js';
import { choresOf } from '../core/warnings.js';
import { Frame } from '../parts/frame.js';
import { Person } from '../parts/people.js';
import { ClaimList } from '../parts/claim.js';
import { Tally } from '../parts/tally.js';
import { Pots } from '../parts/pots.js';
import { Canners } from '../parts/canner/canners.js';
import { ChoreList } from '../parts/chores.js';
import { Cautions } from '../parts/cautions.js';
import { CautionCards } from '../parts/caution-cards.js';
import { HelperSheet } from '../parts/helper-sheet.js';
import { TimerLine } from '../parts/timers.js';
import { WorkPicture } from '../parts/pictures.js';
import { OwnAhead } from '../parts/outlook/own-ahead.js';

function Work({ app, stationId, helperId }) {
  const { nature } = app.view.stations[stationId];
  if (nature?.is === 'vessel')
    return html`<${Pots} app=${app} stationId=${stationId} helperId=${helperId} />`;
  if (nature?.is === 'canner')
    return html`<${Canners} app=${app} stationId=${stationId} helperId=${helperId} />`;
  return html`<${Tally} app=${app} stationId=${stationId} helperId=${helperId} />`;
}

function Seated({ app, helper, helperId }) {
  const [sheet, setSheet] = useState(null);
  const stationId = helper.station;
  const station = app.view.stations[stationId];
  const hand = station.nature?.is === 'hand' || station.nature?.is === 'hold';
  const beside = station.seated?.[helperId]?.beside;
  const chores = choresOf(app.view).filter(([, chore]) => !chore.taken_by).length;
  const elsewhere = app.timers
    .filter((one) => one.station !== stationId && one.level !== 'calm' && helper.adult)
    .slice(0, 2);
  return html`<div class="my-station">
      <${WorkPicture} work=${station.work} size="52" />
      <div>
        <h2>${station.name}</h2>
        ${
          beside &&
          html`<p class="soft">
            ${t('helper.beside', { adult: app.view.helpers[beside]?.name ?? beside })}
          </p>`
        }
        ${
          helper.beside_of?.length > 0 &&
          html`<p class="soft">
            ${t('helper.beside-of', {
              children: helper.beside_of.map((id) => app.view.helpers[id]?.name ?? id).join(', '),
            })}
          </p>`
        }
      </div>
    </div>
    <${CautionCards} app=${app} helperId=${helperId} stationId=${stationId} />
    <${OwnAhead} app=${app} helperId=${helperId} onGo=${() => setSheet('move')} />
    <${Work} key=${stationId} app=${app} stationId=${stationId} helperId=${helperId} />
    ${
      hand &&
      timersAt(app.timers, stationId).length > 0 &&
      html`<ul class="timers">
        ${timersAt(app.timers, stationId).map(
          (timer) =>
            html`<${TimerLine} key=${timer.key} view=${app.view} timer=${timer} here=${true} />`,
        )}
      </ul>`
    }
    ${
      elsewhere.length > 0 &&
      html`<ul class="timers">
        ${elsewhere.map(
          (timer) => html`<${TimerLine} key=${timer.key} view=${app.view} timer=${timer} />`,
        )}
      </ul>`
    }
    <div class="helper-actions">
      <button class="button" onClick=${() => setSheet('soft')}>${t('helper.too-soft')}</button>
      <button class="button" onClick=${() => setSheet('ask')}>${t('helper.need')}</button>
      <button class="button" onClick=${() => setSheet('chores')}>
        ${t('helper.chores', { n: chores })}
      </button>
      <button class="button" onClick=${() => setSheet('move')}>${t('helper.change')}</button>
      <button class="button" onClick=${() => app.send({ order: 'take-break', helper: helperId })}>
        ${t('helper.break')}
      </button>
      <button class="button" onClick=${() => app.send({ order: 'leave', helper: helperId })}>
        ${t('helper.leave')}
      </button>
    </div>
    <${Cautions} station=${station} />
    <${HelperSheet}
      app=${app}
      sheet=${sheet}
      helperId=${helperId}
      stationId=${stationId}
      onClose=${() => setSheet(null)}
    />`;
}

function Away({ app, helper, helperId }) {
  const resting = helper.presence === 'resting';
  const order = { order: resting ? 'end-break' : 'arrive', helper: helperId };
  const coming = app.pending(
    ({ command }) => command.order === order.order && command.helper === helperId,
  );
  return html`<div class="away">
    <p>${t(`helper.is-${helper.presence}`, { name: helper.name })}</p>
    <button class="act" onClick=${() => app.send(order)}>
      <span class="act-word">
        ${coming ? t('pending.sending') : t(resting ? 'helper.rested' : 'helper.arrive')}</span
      >
    </button>
  </div>`;
}

function Standing({ app, helperId }) {
  return html`<${OwnAhead} app=${app} helperId=${helperId} />
    <h2 class="ask-title">${t('claim.title')}</h2>
    <${ClaimList} app=${app} helperId=${helperId} />
    <h2 class="ask-title">${t('chore.title')}</h2>
    <${ChoreList} app=${app} helperId=${helperId} />
    <div class="row">
      <button class="button" onClick=${() => app.send({ order: 'take-break', helper: helperId })}>
        ${t('helper.break')}
      </button>
      <button class="button" onClick=${() => app.send({ order: 'go-home', helper: helperId })}>
        ${t('helper.go-home')}
      </button>
    </div>`;
}

/** The screen at `#/day/ID/helper`. */
export function HelperScreen({ app }) {
  const helper = app.view.helpers?.[app.helperId];
  const tools = html`<a class="button button-quiet" href=${`#/day/${app.day}/join`}
      >${t('helper.not-me')}</a
    >
    ${
      app.lead &&
      html`<a class="button button-quiet" href=${`#/day/${app.day}/lead`}>${t('nav.lead')}</a>`
    }`;
  if (!helper) {
    return html`<${Frame} app=${app} title=${app.view.day.name} kind="narrow"
      ><p>${t('helper.who')}</p>
      <a class="button button-act" href=${`#/day/${app.day}/join`}>${t('join.title')}</a><//
    >`;
  }
  const Part = helper.presence !== 'here' ? Away : helper.station ? Seated : Standing;
  return html`<${Frame}
    app=${app}
    kind="narrow helper"
    tools=${tools}
    title=${html`<${Person} helper=${helper} />`}
  >
    <${Part} app=${app} helper=${helper} helperId=${app.helperId}
  /><//>`;
}
