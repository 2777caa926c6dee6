// What helps: first what moves nobody, then at most three moves, each taken or set aside with one
// tap; or why everybody stays. <${Advice} app=${app} most=${2} onStation=${open} />
// <${AdviceSection} app=${app} onMore=${open} onStation=${open} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import {
  adviceOf,
  adviceRoom,
  asideOrder,
  isOnItsWay,
  moveOrder,
  winId,
} from '../../core/outlook.js';
import {
  moveFrom,
  moveGain,
  moveTitle,
  stayWords,
  whyWords,
  winWords,
} from '../../core/outlook-words.js';
import { Mark } from '../pictures.js';

/** Sets a move aside for everybody; it goes from this device's screens at once. */
export function setAside(app, move) {
  app.setAside(move.id);
  app.send(asideOrder(move));
}

function Move({ app, move, short, first }) {
  const title = moveTitle(app.view, move);
  const facts = [moveGain(move, short), moveFrom(app.view, move, short)].filter(Boolean);
  const going = isOnItsWay(app, move);
  return html`<li class="advice-move">
    <${Mark} of="move" />
    <div class="advice-words">
      <strong>${title}</strong>
      <p>${facts.join(' · ')}</p>
      <p class="soft">${whyWords(app.view, move.why, short)}</p>
    </div>
    <div class="advice-actions">
      ${
        going
          ? html`<p class="soft">${t('pending.sending')}</p>`
          : html`<button
                class=${first ? 'button button-act' : 'button'}
                aria-label=${t('move.accept-label', { move: title })}
                onClick=${() => app.send(moveOrder(app.view, move))}
              >
                ${t('move.accept')}
              </button>
              <button
                class="button"
                aria-label=${t('move.aside-label', { move: title })}
                onClick=${() => setAside(app, move)}
              >
                ${t('move.aside')}
              </button>`
      }
    </div>
  </li>`;
}

function Win({ app, win, onStation }) {
  const { what, why } = winWords(app.view, win, app.now);
  const open = win.win === 'open-box' && {
    order: 'open-box',
    lot: win.lot,
    product: win.product,
  };
  const take = () => {
    app.setAside(winId(win));
    app.send(open);
  };
  const words = html`<${Mark} of="idea" /><span class="advice-words"
      ><strong>${what}</strong><span class="soft">${why}</span></span
    >`;
  if (open)
    return html`<li class="advice-win">
      ${words}
      <button class="button" onClick=${take}>${t('win.open-box.do')}</button>
    </li>`;
  if (!win.station || !onStation) return html`<li class="advice-win">${words}</li>`;
  return html`<li>
    <button class="advice-win advice-tap" onClick=${() => onStation(win.station)}>${words}</button>
  </li>`;
}

function Stay({ app, stay }) {
  return html`<p class="advice-stay">
    <${Mark} of="seat" /><span
      ><strong>${t('stay.title')}</strong> ${stayWords(app.view, stay)}</span
    >
  </p>`;
}

/** Wins first, then moves; `most` of them, all without it. */
export function Advice({ app, most = 99, short, onStation }) {
  const { ahead } = app;
  if (!app.outlook) return null;
  if (!ahead)
    return html`<p class="soft">${t('ahead.stale-advice', { at: timeOfDay(app.outlook.at) })}</p>`;
  const { wins, moves } = adviceOf(app, most);
  if (!wins.length && !moves.length && !ahead.stay)
    return html`<p class="soft">${t('advice.none-yet')}</p>`;
  const list = [
    ...wins.map(
      (win) => html`<${Win} key=${winId(win)} app=${app} win=${win} onStation=${onStation} />`,
    ),
    ...moves.map(
      (move, index) =>
        html`<${Move}
          key=${move.id}
          app=${app}
          move=${move}
          short=${short}
          first=${index === 0}
        />`,
    ),
  ];
  return html`${list.length > 0 && html`<ul class="advice">
      ${list}
    </ul>`}
    ${!moves.length && ahead.stay && html`<${Stay} app=${app} stay=${ahead.stay} />`}`;
}

/** The lead's section: as much as there is room for, the rest on the sheet. */
export function AdviceSection({ app, onMore, onStation }) {
  if (!app.outlook) return null;
  const most = adviceRoom(globalThis);
  const more = app.ahead ? adviceOf(app, most).more : 0;
  return html`<section>
    <div class="advice-head">
      <h2>${t('advice.title')}</h2>
      ${
        more > 0 &&
        html`<button class="advice-more" onClick=${onMore}>${t('more', { n: more })}</button>`
      }
    </div>
    <${Advice} app=${app} most=${most} short=${true} onStation=${onStation} />
  </section>`;
}
