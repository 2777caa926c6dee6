// How the day would go with those who are expected.

import { html } from '../../ui.js';
import { given, t } from '../../words/words.js';
import { span, timeOfDay, whenWords } from '../../core/format.js';
import { worthwhile } from '../../core/prepare.js';
import { Mark } from '../pictures.js';

const MINUTE_MS = 60000;
const lasts = (minutes) => span(minutes * MINUTE_MS);
const percent = (share) => Math.round(share * 100);

function Starts({ starts }) {
  if (!starts.length) return null;
  return html`<table class="prepare-starts">
    <caption>
      ${t('prepare.starts')}
    </caption>
    <thead>
      <tr>
        <th scope="col">${t('prepare.start')}</th>
        <th scope="col">${t('prepare.in-time')}</th>
      </tr>
    </thead>
    <tbody>
      ${starts.map(
        ({ at, by_cut_off: share }) =>
          html`<tr key=${at}>
            <th scope="row">${timeOfDay(at)}</th>
            <td>
              <meter min="0" max="1" value=${share} aria-hidden="true"></meter>
              ${t('prepare.of-hundred', { n: percent(share) })}
            </td>
          </tr>`,
      )}
    </tbody>
  </table>`;
}

function OneMore({ one }) {
  const key = one.gain_min >= 5 ? 'pays' : one.gain_min <= -5 ? 'costs' : 'nothing';
  return html`<li>
    ${t(`prepare.one-more.${key}`, {
      what: t(`prepare.one-more.${one.what}`),
      span: lasts(Math.abs(one.gain_min)),
      days: percent(one.earlier),
    })}
  </li>`;
}

/** The forecast, or what is missing for one. */
export function AheadOfDay({ forecast, ask, start }) {
  if (forecast.is === 'missing')
    return html`<p class="caution">
      <${Mark} of="warn" />${t(`prepare.missing-for.${forecast.field}`)}
    </p>`;
  if (forecast.is !== 'day') return null;
  const never = forecast.ends < 0.5;
  return html`${
      never
        ? html`<p class="prepare-short"><${Mark} of="warn" /><span>${t('prepare.never-ends')}</span></p>`
        : html`<p class="prepare-band">
            ${t('prepare.lasts', {
              middle: lasts(forecast.minutes_p50),
              low: lasts(forecast.minutes_p10),
              high: lasts(forecast.minutes_p90),
              n: forecast.runs,
            })}
          </p>`
    }
    ${
      forecast.by_cut_off !== undefined &&
      html`<p>
        ${t('prepare.by-cut-off', { n: percent(forecast.by_cut_off), at: timeOfDay(ask.cut_off_at) })}
      </p>`
    }
    ${
      forecast.latest_start !== undefined &&
      html`<p><strong>
        ${t('prepare.latest', { at: whenWords(forecast.latest_start, start) })}
      </strong></p>`
    }
    ${!never && html`<${Starts} starts=${forecast.starts} />`}
    ${
      !never &&
      forecast.stations.length > 0 &&
      html`<h3>${t('prepare.piles')}</h3>
        <ul class="prepare-takes">
          ${forecast.stations.map(
            (one) =>
              html`<li key=${one.station}>
                <strong>${given(one.name)}</strong>
                <span
                  >${t('prepare.pile', { n: percent(one.sets_finish), stands: Math.round(one.stands) })}</span
                >
              </li>`,
          )}
        </ul>`
    }
    <h3>${t('prepare.would-help')}</h3>
    <ul class="prepare-plain">
      ${worthwhile(forecast).map((one) => html`<${OneMore} key=${one.what} one=${one} />`)}
    </ul>
    <p class="soft">${t('prepare.forecast-about')}</p>`;
}
