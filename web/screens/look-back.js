// Looking back on a day: what was made, what to try next time, how the work went through, what the
// stations, the loads and the people did. The figures come from the server; nothing is computed here
// but sums for the eye.

import { html, useEffect, useMemo, useState } from '../ui.js';
import { spokenNow, t } from '../words/words.js';
import { timeOfDay } from '../core/format.js';
import { backInTongue } from '../core/look-back.js';
import { DepthChart } from '../parts/look-back/depth-chart.js';
import { FlowChart } from '../parts/look-back/flow-chart.js';
import { Hours } from '../parts/look-back/hours.js';
import { Made } from '../parts/look-back/made.js';
import { Loads } from '../parts/look-back/loads.js';
import { StationTimes } from '../parts/look-back/station-times.js';
import { Fruit, Moves, Tries } from '../parts/look-back/next-time.js';
import { Beside, Course } from '../parts/look-back/course.js';
import { People, Waste } from '../parts/look-back/people.js';
import { PageFrame } from '../parts/page-frame.js';
import { Awaited } from '../parts/awaited.js';

function Keep({ app }) {
  const at = `/api/days/${app.day}/look-back`;
  return html`<section class="keep">
    <h2>${t('look-back.keep')}</h2>
    <div class="row">
      <button class="button" onClick=${() => window.print()}>${t('look-back.print')}</button>
      <a class="button" href=${`${at}.csv`} download>${t('look-back.csv')}</a>
      <a class="button" href=${at} download=${`${app.day}.json`}>${t('look-back.json')}</a>
      <a class="button" href="#/learned">${t('nav.learned')}</a>
    </div>
  </section>`;
}

function Content({ app, back }) {
  const rate = Number(back.packages_per_hour ?? 0);
  const whole = back.from !== undefined && { from: timeOfDay(back.from), to: timeOfDay(back.to) };
  return html`<section>
      <h2>${t('look-back.made')}</h2>
      <${Made} made=${back.made} />
      <p>
        ${rate > 0 && t('look-back.rate', { n: rate.toFixed(1) })}${' '}
        ${whole && html`<span class="soft">${t('look-back.span', whole)}</span>`}
      </p>
    </section>
    <${People} back=${back} />
    <${Hours} back=${back} />
    <${Tries} back=${back} />
    <section>
      <h2>${t('look-back.flow')}</h2>
      <${FlowChart} back=${back} />
    </section>
    <section>
      <h2>${t('look-back.stations')}</h2>
      <p class="soft">${t('look-back.stations-about')}</p>
      <${StationTimes} back=${back} />
    </section>
    <section>
      <h2>${t('look-back.depth')}</h2>
      <${DepthChart} back=${back} />
    </section>
    <${Loads} back=${back} />
    <${Fruit} back=${back} />
    <${Waste} back=${back} />
    <${Moves} back=${back} />
    <${Course} app=${app} />
    <${Beside} app=${app} />
    <${Keep} app=${app} />`;
}

/** The screen at `#/day/ID/look-back`. */
export function LookBackScreen({ app }) {
  const [answer, setAnswer] = useState(null);
  useEffect(() => {
    app.get(`/api/days/${app.day}/look-back`).then(setAnswer);
  }, [app.day]);
  const back = useMemo(
    () => (answer?.status === 200 ? backInTongue(answer.body) : null),
    [answer, spokenNow()],
  );
  const sub = back
    ? `${back.name || app.day}${back.date ? ` · ${back.date}` : ''}`
    : (app.days?.[app.day]?.name ?? '');
  return html`<${PageFrame}
    app=${app}
    kind="look-back"
    title=${t('look-back.title')}
    sub=${sub}
  >
    ${
      back
        ? html`<${Content} app=${app} back=${back} />`
        : html`<${Awaited} app=${app} answer=${answer} />`
    }<//
  >`;
}
