// The wall: read from three metres, without any control. Not for a person of its own.

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { timeOfDay } from '../core/format.js';
import { Frame } from '../parts/frame.js';
import { Kitchen } from '../parts/kitchen.js';
import { Region } from '../parts/region.js';
import { pressingItems } from '../parts/side.js';
import { choreItems } from '../parts/chores.js';
import { progressItems } from '../parts/product-progress.js';
import { JoinCode } from '../parts/join-code.js';
import { handItems, WallFinish } from '../parts/outlook/wall-ahead.js';

/** What nobody has taken yet; who is on it already needs no calling. */
const openChores = (app) =>
  choreItems(app, { quiet: true }).filter(({ key }) => !app.view.chores[key].taken_by);

/** The screen at `#/day/ID/wall`. */
export function WallScreen({ app }) {
  const { day } = app.view;
  const sub = day.cut_off_at ? t('day.until', { at: timeOfDay(day.cut_off_at) }) : '';
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
      <${Region}
        name="hands"
        title=${t('wall.hands-at')}
        items=${[...handItems(app), ...openChores(app)]}
        none=${t('wall.no-hands')}
      />
      <${Region}
        name="now"
        title=${t('side.now')}
        items=${pressingItems(app)}
        none=${t('urgent.none')}
      />
      <${Region}
        name="progress"
        title=${t('wall.progress')}
        items=${progressItems(app)}
        none=${t('wall.no-products')}
      />
      <section class="wall-join"><${JoinCode} day=${app.day} fresh=${app.doors} /></section>
    </div>
    <p class="wall-caution">${t('wall.caution')}</p><//
  >`;
}
