// A break of some minutes: choosing it, and the screen while it lasts, with the way back to the
// seat. <${BreakChoice} app=${app} helperId="bo" onDone=${close} />  <${Resting} .../>

import { html, useEffect } from '../../ui.js';
import { t } from '../../words/words.js';
import { countdown } from '../../core/format.js';
import { BREAKS, backOrder, breakLeft, breakOf } from '../../core/pause.js';
import { WorkPicture } from '../pictures.js';
import { answer } from '../tap-sounds.js';
import { Counters } from './counters.js';
import { HandPicture, Tile, Tiles } from './tile.js';

const keyOf = (app, helperId) => `break.${app.day}.${helperId}`;

/** The break this device keeps for a helper, or null. */
export function keptBreak(app, helperId) {
  try {
    return JSON.parse(app.choice(keyOf(app, helperId)));
  } catch {
    return null;
  }
}

/** How long? One tap begins it. */
export function BreakChoice({ app, helperId, onDone }) {
  const take = (minutes) => {
    if (app.now !== null) {
      const kept = breakOf(app.view, helperId, minutes, app.now);
      app.choose(keyOf(app, helperId), JSON.stringify(kept));
    }
    answer(app, 'sent');
    app.send({ order: 'take-break', helper: helperId });
    onDone();
  };
  return html`<p>${t('break.seat')}</p>
    <${Tiles} label=${t('break.title')}>
      ${BREAKS.map(
        (minutes) =>
          html`<${Tile}
            key=${minutes}
            picture="cup"
            words=${t('minutes.spoken', { n: minutes })}
            onTap=${() => take(minutes)}
            ><${Counters} n=${minutes}
          /><//>`,
      )}
    <//>`;
}

/** How full the cup still is, for who cannot read the clock. */
function Clock({ left, whole }) {
  const share = Math.max(0, Math.min(1, left / whole));
  return html`<svg class="rest-clock" viewBox="0 0 40 40" width="120" height="120" aria-hidden="true">
    <circle class="rest-whole" cx="20" cy="20" r="15.9" />
    <circle class="rest-left" cx="20" cy="20" r="15.9" stroke-dasharray=${`${share * 100} 100`} />
  </svg>`;
}

/** The screen of somebody who rests. */
export function Resting({ app, helper, helperId }) {
  const found = keptBreak(app, helperId);
  // One that was over before this rest began is of another break.
  const kept = found && found.until > helper.since ? found : null;
  const left = breakLeft(kept, app.now);
  const over = left !== null && left <= 0;
  useEffect(() => {
    if (over) answer(app, 'over');
  }, [over]);
  const back = backOrder(app.view, helperId, kept);
  const end = { order: 'end-break', helper: helperId };
  const coming = app.pending(
    ({ command }) => command.order === 'end-break' && command.helper === helperId,
  );
  const go = (then) => {
    app.choose(keyOf(app, helperId), null);
    answer(app, 'done');
    app.send(end, then ? { then } : {});
  };
  const station = back && app.view.stations[back.station];
  return html`<div class="away">
    ${
      left !== null && !over
        ? html`<div class="rest-time" role="timer">
            <${Clock} left=${left} whole=${kept.until - kept.from} />
            <strong class="timer-number">${countdown(left)}</strong>
          </div>`
        : html`<${HandPicture} of="cup" size="72" />`
    }
    <p role="status">${t(over ? 'break.over' : 'helper.is-resting', { name: helper.name })}</p>
    ${
      coming
        ? html`<p>${t('pending.sending')}</p>`
        : back &&
          html`<button class="act act-small" onClick=${() => go(back)}>
            <${WorkPicture} work=${station.work} size="64" />
            <span class="act-word">${t('break.back-to', { station: station.name })}</span>
          </button>`
    }
    ${
      !coming &&
      (back
        ? html`<button class="button button-wide" onClick=${() => go(null)}>
            ${t('break.elsewhere')}
          </button>`
        : html`<button class="act act-small" onClick=${() => go(null)}>
            <${HandPicture} of="happy" size="64" />
            <span class="act-word">${t('helper.rested')}</span>
          </button>`)
    }
  </div>`;
}
