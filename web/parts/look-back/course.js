// How the end of the day was foretold, worked out when it is asked for; and the day beside earlier
// ones. <${Course} app=${app} /> <${Beside} app=${app} />

import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { measured, span, timeOfDay } from '../../core/format.js';
import { manner } from '../../core/manner.js';
import { FiguresTable } from './figures-table.js';

/** Simulating a long day again takes a small computer a while. */
const WORK_LIMIT_MS = 120000;

/** The band at a moment as a bar on the line of the day. */
function Band({ one, from, to }) {
  const at = (ms) => Math.max(0, Math.min(100, ((ms - from) / (to - from)) * 100));
  return html`<svg class="course-band" viewBox="0 0 100 20" preserveAspectRatio="none" aria-hidden="true">
    <rect class="course-line" y="9" width="100" height="2" />
    <rect class="course-likely" x=${at(one.p10)} y="4" width=${Math.max(0.6, at(one.p90) - at(one.p10))} height="12" />
    <rect class="course-middle" x=${Math.max(0, at(one.p50) - 0.4)} width="0.8" height="20" />
  </svg>`;
}

function Said({ course }) {
  const { said } = course;
  if (!said.length) return html`<p>${t('look-back.course-none')}</p>`;
  const ends = said.flatMap(({ p10, p90 }) => [p10, p90]).concat(course.ended_at ?? []);
  const [from, to] = [Math.min(...ends), Math.max(...ends) + 1];
  const rows = said.map((one) => [
    timeOfDay(one.at),
    timeOfDay(one.p50),
    t('look-back.course-between', { low: timeOfDay(one.p10), high: timeOfDay(one.p90) }),
    html`<${Band} one=${one} from=${from} to=${to} />`,
  ]);
  const heads = ['at', 'middle', 'band', 'picture'].map((key) => t(`look-back.course-${key}`));
  return html`<${FiguresTable} label=${t('look-back.course')} heads=${heads} rows=${rows} />
    ${
      course.ended_at &&
      html`<p>${t('look-back.course-end', { at: timeOfDay(course.ended_at) })}</p>`
    }`;
}

/** The foretold end over the day. */
export function Course({ app }) {
  const [answer, setAnswer] = useState(null);
  async function work() {
    setAnswer('asked');
    setAnswer(await app.get(`/api/days/${app.day}/look-back/finish`, WORK_LIMIT_MS));
  }
  const failed = answer && answer !== 'asked' && answer.status !== 200;
  return html`<section>
    <h2>${t('look-back.course')}</h2>
    <p class="soft">${t('look-back.course-about')}</p>
    ${failed && html`<p class="problem" role="alert">${t('look-back.course-failed')}</p>`}
    ${
      (answer === null || failed) &&
      html`<div class="row">
        <button class="button course-do" onClick=${work}>${t('look-back.course-do')}</button>
      </div>`
    }
    ${answer === 'asked' && html`<p role="status">${t('look-back.course-wait')}</p>`}
    ${answer?.status === 200 && html`<${Said} course=${answer.body} />`}
  </section>`;
}

const number = (n) => Number(n).toLocaleString(manner().locale, { maximumFractionDigits: 1 });
const FIGURES = [
  ['packages', ({ packages }) => number(packages)],
  ['rate', ({ packages_per_hour: rate }) => number(rate)],
  ['worked', ({ worked_ms: ms }) => span(ms)],
  ['seated', ({ seated_ms: ms }) => span(ms)],
  ['loads', ({ loads }) => String(loads)],
  ['idle', ({ between_loads_ms: ms }) => span(ms)],
  ['unstaffed', ({ unstaffed_ms: ms }) => span(ms)],
  ['lost', ({ lost }) => number(lost)],
  ['trimmings', ({ trimmings_lb: lb }) => measured(lb, 'lb')],
];

/** The same few figures of this day and those before it. */
export function Beside({ app }) {
  const [answer, setAnswer] = useState(null);
  useEffect(() => {
    app.get(`/api/days/${app.day}/look-back/beside`).then(setAnswer);
  }, [app.day]);
  if (answer?.status !== 200) return null;
  const { days } = answer.body;
  if (days.length < 2)
    return html`<section>
      <h2>${t('look-back.beside')}</h2>
      <p class="soft">${t('look-back.beside-none')}</p>
    </section>`;
  const heads = [t('look-back.figure'), ...days.map(({ name, date }) => `${date} ${name}`)];
  const rows = FIGURES.map(([key, of]) => [t(`look-back.figure.${key}`), ...days.map(of)]);
  return html`<section>
    <h2>${t('look-back.beside')}</h2>
    <${FiguresTable} label=${t('look-back.beside')} heads=${heads} rows=${rows} />
  </section>`;
}
