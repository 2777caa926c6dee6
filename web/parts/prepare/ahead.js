// How the day would go with those who are expected.

import { html } from '../../ui.js';
import { given, t } from '../../words/words.js';
import { span, timeOfDay, whenWords } from '../../core/format.js';
import { lessonId, lessonTitle, lessonWords } from '../../core/learned.js';
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

/** The names of a plan's things, by id. */
const namesOf = (plan) => {
  const names = (map) =>
    Object.fromEntries(Object.entries(map ?? {}).map(([id, { name }]) => [id, name]));
  return { stations: names(plan?.stations), products: names(plan?.products) };
};

/** What of the household's own days is reckoned with, each with its evidence. */
function OwnDays({ own, plan }) {
  if (!own.lessons.length && !own.helpers)
    return html`<p class="soft">${t('prepare.forecast-about')}</p>`;
  return html`<details class="fold">
    <summary>${t('prepare.own-days')}</summary>
    <div class="fold-inside">
      <ul class="prepare-plain">
        ${own.helpers > 0 && html`<li>${t('prepare.own-paces', { n: own.helpers })}</li>`}
        ${own.lessons.map((line) => {
          const { figure, usual, counts } = lessonWords(line);
          const words = [figure, usual, counts].filter(Boolean).join(' · ');
          return html`<li key=${lessonId(line)}>
            <strong>${lessonTitle(plan, line)}</strong> ${words}
          </li>`;
        })}
      </ul>
      <a href="#/learned">${t('prepare.own-see')}</a>
    </div>
  </details>`;
}

/** The forecast, or what is missing for one. */
export function AheadOfDay({ proposal, ask, start }) {
  const { forecast } = proposal;
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
    <${OwnDays} own=${proposal.own_days} plan=${namesOf(proposal.plan)} />`;
}
