// What is to come, read from three metres and without any control: when the day ends, what holds
// up, where hands are needed. Nobody is named.
// <${WallFinish} app=${app} /> <${WallHands} app=${app} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { handsNeeded } from '../../core/outlook.js';
import { bandTimes, waitingSpoken } from '../../core/outlook-words.js';
import { Mark } from '../pictures.js';
import { Reasons, StaleNote } from './finish-strip.js';

const MOST_HANDS = 3;

/** The finish, large, with what sets it and what holds up. */
export function WallFinish({ app }) {
  const { outlook, ahead } = app;
  if (!outlook) return null;
  const times = outlook.finish && bandTimes(outlook.finish, app.now);
  if (!ahead) return html`<div class="wall-finish"><${StaleNote} app=${app} /></div>`;
  return html`<div class="wall-finish">
    <p class="wall-done">
      <strong>${times ? t('wall.done-about', times) : t('finish.nothing')}</strong>
      ${times && html`<span>${t('finish.between', times)}</span>`}
    </p>
    <div class="wall-why"><${Reasons} app=${app} /></div>
  </div>`;
}

/** Whether a station needs hands, so that the heading can say so. */
export const handsOnWall = (app) => handsNeeded(app.view, app.ahead).slice(0, MOST_HANDS);

/** Stations with a free seat where work waits for hands. */
export function WallHands({ app }) {
  return html`<ul class="chores wall-hands">
    ${handsOnWall(app).map(
      ({ station, minutes }) =>
        html`<li class="chore" key=${station}>
          <${Mark} of="hand" />
          <span class="chore-words"
            ><strong>${app.view.stations[station].name}</strong>
            <small>${waitingSpoken(app.view, station, minutes)}</small></span
          >
        </li>`,
    )}
  </ul>`;
}
