// What is to come at one station, on its sheet: why it matters, its queue's last hour, how its
// last half hour went. <${StationAhead} app=${app} id="wash" />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { depthAt, marksOf, stationSays } from '../../core/outlook.js';
import {
  holdsUpWords,
  minutesShort,
  ofHundred,
  saysWords,
  setsFinishWords,
} from '../../core/outlook-words.js';
import { Mark } from '../pictures.js';
import { LoadsToCome } from './loads-to-come.js';
import { Spark, sparkWords } from './spark.js';

const SHARES = ['working', 'starved', 'blocked'];

function Reasons({ app, id }) {
  const { ahead, view } = app;
  const marks = marksOf(ahead, id);
  const { sets_finish: sets = 0 } = ahead.stations[id];
  return html`${
    marks.includes('holds-up') &&
    html`<p class="reason">
      <${Mark} of="neck" size="20" /><span>${holdsUpWords(view, ahead.holds_up_now)}</span>
    </p>`
  }
  ${
    marks.includes('sets-finish')
      ? html`<p class="reason">
          <${Mark} of="flag" size="20" /><span>${setsFinishWords(view, ahead.sets_finish)}</span>
        </p>`
      : sets >= 0.1 && html`<p>${t('station.sets', { n: ofHundred(sets) })}</p>`
  }`;
}

function HalfHour({ ahead }) {
  const told = SHARES.filter((one) => ahead[one] >= 0.01);
  if (!told.length) return null;
  const share = (one) => t(`station.${one}`, { n: Math.round(ahead[one] * 100) });
  return html`<p class="soft">
    ${t('station.half-hour', { shares: told.map(share).join(', ') })}
  </p>`;
}

/** The section; nothing without an outlook that can be acted on. */
export function StationAhead({ app, id }) {
  const ahead = app.ahead?.stations?.[id];
  if (!ahead || ahead.doing === 'put-away') return null;
  const minutes = depthAt(app.view, app.ahead, id);
  const says = stationSays(app.view, app.ahead, id);
  const tenth = ahead.tenth_faster_min ?? 0;
  return html`<h3>${t('station.ahead')}</h3>
    <${Reasons} app=${app} id=${id} />
    ${
      (minutes !== null || says) &&
      html`<p>
        ${minutes !== null &&
          html`<strong
            >${t('depth.work', { span: minutesShort(minutes), one: minutes < 2 ? 1 : 2 })}</strong
          >`}
        ${minutes !== null && says && ' · '}${says && saysWords(says)}
      </p>`
    }
    ${
      ahead.queue.length > 0 &&
      html`<figure class="spark-figure">
        <${Spark} app=${app} id=${id} width=${320} height=${56} quiet=${true} />
        <figcaption class="hint">${sparkWords(app.view, app.ahead, id)}</figcaption>
      </figure>`
    }
    <${HalfHour} ahead=${ahead} />
    ${tenth >= 1 && html`<p>${t('station.tenth', { span: minutesShort(tenth) })}</p>`}
    <${LoadsToCome} app=${app} id=${id} />`;
}
