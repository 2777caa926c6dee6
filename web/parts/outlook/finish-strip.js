// When the day ends, what sets that and what holds up now, above the lead's kitchen. The whole
// strip opens the sheet. <${FinishStrip} app=${app} onOpen=${open} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { cutOffLevel } from '../../core/outlook.js';
import {
  bandTimes,
  byCutOff,
  finishTitle,
  holdsUpWords,
  noEndWords,
  setsFinishWords,
} from '../../core/outlook-words.js';
import { Mark } from '../pictures.js';
import { FinishChart } from './finish-chart.js';

const LEVEL_MARK = { calm: 'done', soon: 'warn', due: 'due' };

/** That the outlook is old, or nothing. */
export function StaleNote({ app }) {
  if (!app.outlook || app.ahead) return null;
  return html`<p class="ahead-stale">
    <${Mark} of="warn" size="18" />
    <span>${t('ahead.stale', { at: timeOfDay(app.outlook.at) })}</span>
  </p>`;
}

/** What holds up now and what sets the finish, each in one sentence. */
export function Reasons({ app }) {
  const { holds_up_now: holdsUp, sets_finish: setsFinish } = app.ahead ?? {};
  return html`${
    setsFinish &&
    html`<p class="reason">
      <${Mark} of="flag" size="17" /><span>${setsFinishWords(app.view, setsFinish)}</span>
    </p>`
  }
  ${
    holdsUp &&
    html`<p class="reason">
      <${Mark} of="neck" size="17" /><span
        >${holdsUpWords(app.view, holdsUp, holdsUp.station === setsFinish?.station)}</span
      >
    </p>`
  }`;
}

/** That the work never ends as everybody sits now, and where hands are missing. */
export function NoEnd({ app }) {
  const words = app.ahead && noEndWords(app.view, app.ahead);
  if (!words) return null;
  return html`<p class="reason reason-no-end"><${Mark} of="hand" size="17" /><span>${words}</span></p>`;
}

/** How likely the day is over by its cut-off, with a mark for how well that goes. */
export function ByCutOff({ app }) {
  const level = cutOffLevel(app.outlook);
  const words = byCutOff(app.view, app.outlook, app.now);
  if (!words) return null;
  return html`<p class=${`by-cut-off by-${level}`}>
    <${Mark} of=${LEVEL_MARK[level]} size="17" /><span>${words}</span>
  </p>`;
}

const MINUTE_MS = 60000;

/** Everything that is drawn in the strip, to be compared by identity. */
export const finishShows = ({ outlook, ahead, view, now }) => [
  outlook,
  ahead,
  view,
  Math.floor(now / MINUTE_MS),
];

/** The strip; it keeps its place before the first outlook too. */
export function FinishStrip({ app, onOpen }) {
  const { outlook } = app;
  if (app.closed) return null;
  if (!outlook)
    return html`<section class="finish-strip finish-stale">
      <p class="soft">${t('advice.none-yet')}</p>
    </section>`;
  const times = outlook.finish && bandTimes(outlook.finish, app.now);
  const title = finishTitle(outlook, app.now);
  return html`<section class=${app.ahead ? 'finish-strip' : 'finish-strip finish-stale'}>
    <div class="finish-words">
      <h2><button class="card-open" onClick=${onOpen}>${title}</button></h2>
      ${times && html`<p>${t('finish.between', times)}</p>`}
      <${ByCutOff} app=${app} />
    </div>
    <${FinishChart} app=${app} />
    <div class="finish-why">
      <${StaleNote} app=${app} /><${NoEnd} app=${app} /><${Reasons} app=${app} />
    </div>
  </section>`;
}
