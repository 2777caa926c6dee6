// The wall: read from three metres, without any control. Not for a person of its own.

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { timeOfDay } from '../core/format.js';
import { choresOf } from '../core/warnings.js';
import { Frame } from '../parts/frame.js';
import { Kitchen } from '../parts/kitchen.js';
import { Urgent } from '../parts/side.js';
import { ChoreList } from '../parts/chores.js';
import { Progress } from '../parts/progress.js';
import { JoinCode } from '../parts/join-code.js';
import { handsOnWall, WallFinish, WallHands } from '../parts/outlook/wall-ahead.js';

/** The screen at `#/day/ID/wall`. */
export function WallScreen({ app }) {
  const { day } = app.view;
  const sub = day.cut_off_at ? t('day.until', { at: timeOfDay(day.cut_off_at) }) : '';
  const hands = handsOnWall(app).length;
  const tools = html`<span class="wall-clock">${app.now === null ? '' : timeOfDay(app.now)}</span>`;
  return html`<${Frame}
    app=${app}
    title=${day.name}
    sub=${sub}
    head=${html`<${WallFinish} app=${app} />`}
    kind="wall"
    tools=${tools}
    quiet=${true}
  >
    <${Kitchen} app=${app} wall=${true} />
    <div class="wall-foot">
      <section class="wall-now">
        <h2>${t('side.now')}</h2>
        <${Urgent} app=${app} most=${4} />
      </section>
      ${
        hands > 0 &&
        html`<section class="wall-needs">
          <h2>${t('wall.hands-at')}</h2>
          <${WallHands} app=${app} />
        </section>`
      }
      <section class="wall-chores">
        <h2>
          ${t('wall.hands', { n: choresOf(app.view).filter(([, one]) => !one.taken_by).length })}
        </h2>
        <${ChoreList} app=${app} quiet=${true} most=${hands > 0 ? 2 : 3} />
      </section>
      <section class="wall-progress">
        <h2>${t('wall.progress')}</h2>
        <${Progress} view=${app.view} large=${true} />
      </section>
      <section class="wall-join"><${JoinCode} /></section>
    </div>
    <p class="wall-caution">${t('wall.caution')}</p><//
  >`;
}
