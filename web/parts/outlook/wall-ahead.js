// What is to come, read from three metres and without any control: when the day ends against its
// cut-off, what holds up, where hands are needed. Nobody is named.
// <${WallFinish} app=${app} />; `handItems(app)` for a list.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { handsNeeded } from '../../core/outlook.js';
import { bandTimes, finishSentence, finishTitle, minutesShort } from '../../core/outlook-words.js';
import { finishLine } from '../../core/outlook-charts.js';
import { WorkPicture } from '../pictures.js';
import { ByCutOff, NoEnd, Reasons, StaleNote } from './finish-strip.js';

const per = (share) => `${Math.round(share * 1000) / 10}%`;
const at = (share) => ({ left: per(share) });

/** The line of time: now at its left end, the band, its middle, the cut-off as a flag. */
function FinishLine({ app }) {
  const cutOff = app.view.day.cut_off_at;
  const offset = -new Date(app.outlook.at).getTimezoneOffset() * 60000;
  const line = finishLine(app.outlook, cutOff, app.now, { offset, most: 4 });
  if (!line) return null;
  return html`<div
    class="wall-line"
    role="img"
    aria-label=${finishSentence(app.view, app.outlook, app.now)}
  >
    <div class="wall-line-bar">
      ${
        line.cutOff !== null &&
        html`<span class="wall-line-late" style=${{ left: per(line.cutOff), right: 0 }}></span>`
      }
      <span
        class="wall-line-band"
        style=${{ left: per(line.early), width: per(line.late - line.early) }}
      ></span>
      <span class="wall-line-middle" style=${at(line.middle)}></span>
      ${
        line.cutOff !== null && html`<span class="wall-line-cut" style=${at(line.cutOff)}></span>`
      }
    </div>
    ${line.hours
      .filter(({ x }) => x > 0.1 && x < 0.9)
      .map(
        (hour) =>
          html`<span class="wall-line-hour" key=${hour.at} style=${at(hour.x)}
            >${timeOfDay(hour.at)}</span
          >`,
      )}
  </div>`;
}

/** The finish, large, with what sets it and what holds up. */
export function WallFinish({ app }) {
  const { outlook, ahead } = app;
  if (!outlook) return null;
  const times = outlook.finish && bandTimes(outlook.finish, app.now);
  if (!ahead) return html`<div class="wall-finish"><${StaleNote} app=${app} /></div>`;
  return html`<div class="wall-finish">
    <div class="wall-done">
      <strong>${finishTitle(outlook, app.now)}</strong>
      ${times && html`<span>${t('finish.between', times)}</span>`}
      <${ByCutOff} app=${app} />
    </div>
    <${FinishLine} app=${app} />
    <div class="wall-why"><${NoEnd} app=${app} /><${Reasons} app=${app} /></div>
  </div>`;
}

/** Stations with a free seat where work waits for hands, as list items. */
export function handItems(app) {
  return handsNeeded(app.view, app.ahead).map(({ station, minutes }) => ({
    key: station,
    kind: 'wall-hand',
    node: html`<${WorkPicture} work=${app.view.stations[station].work} />
      <strong>${app.view.stations[station].name}</strong>
      <b>${minutesShort(minutes)}</b>`,
  }));
}
