// What helps: first what moves nobody, then at most three moves, each taken or set aside with one
// tap; or why everybody stays. <${Advice} app=${app} onStation=${open} />
// <${AdviceRegion} app=${app} onMore=${open} onStation=${open} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { adviceOf, isOnItsWay, moveOrder, takenOrder, winId } from '../../core/outlook.js';
import {
  moveFrom,
  moveGain,
  moveTitle,
  stayWords,
  whyWords,
  winWords,
} from '../../core/outlook-words.js';
import { Mark } from '../pictures.js';
import { Region } from '../region.js';
import { setAside } from './set-aside.js';

function Move({ app, move, short, first }) {
  const title = moveTitle(app.view, move);
  const facts = [moveGain(move, short), moveFrom(app.view, move, short)].filter(Boolean);
  const going = isOnItsWay(app, move);
  return html`<div class="advice-move">
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
                onClick=${() => app.send(moveOrder(app.view, move), { then: takenOrder(move) })}
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
  </div>`;
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
    return html`<div class="advice-win">
      ${words}
      <button class="button" onClick=${take}>${t('win.open-box.do')}</button>
    </div>`;
  if (!win.station || !onStation) return html`<div class="advice-win">${words}</div>`;
  return html`<button class="advice-win advice-tap" onClick=${() => onStation(win.station)}>
    ${words}
  </button>`;
}

function Stay({ app, stay }) {
  return html`<p class="advice-stay">
    <${Mark} of="seat" /><span
      ><strong>${t('stay.title')}</strong> ${stayWords(app.view, stay)}</span
    >
  </p>`;
}

/** What helps, and why everybody stays where nobody should move, as list items. */
function adviceItems(app, short, onStation) {
  const list = adviceOf(app);
  const { stay } = app.ahead;
  const first = list.find(({ move }) => move)?.move;
  const items = list.map(({ win, move }) =>
    win
      ? { key: winId(win), node: html`<${Win} app=${app} win=${win} onStation=${onStation} />` }
      : {
          key: move.id,
          node: html`<${Move} app=${app} move=${move} short=${short} first=${move === first} />`,
        },
  );
  if (first || !stay) return items;
  return [...items, { key: 'stay', node: html`<${Stay} app=${app} stay=${stay} />` }];
}

const noneWords = (app) =>
  app.ahead ? t('advice.none-yet') : t('ahead.stale-advice', { at: timeOfDay(app.outlook.at) });

/** All of it, for the sheet. */
export function Advice({ app, onStation }) {
  const items = app.ahead ? adviceItems(app, false, onStation) : [];
  if (!items.length) return html`<p class="soft">${noneWords(app)}</p>`;
  return html`<ul class="advice">
    ${items.map(({ key, node }) => html`<li key=${key}>${node}</li>`)}
  </ul>`;
}

/** The lead's part of the column: as much as there is room for, the rest on the sheet. */
export function AdviceRegion({ app, onMore, onStation }) {
  if (!app.outlook) return null;
  return html`<${Region}
    name="advice"
    title=${t('advice.title')}
    items=${app.ahead ? adviceItems(app, true, onStation) : []}
    none=${noneWords(app)}
    onAll=${onMore}
  />`;
}
