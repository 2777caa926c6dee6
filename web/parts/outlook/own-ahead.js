// What is to come for one helper, in words a child reads: a move to take or refuse, how long
// there is work here, who needs them. <${OwnAhead} app=${app} helperId="wren" onGo=${open} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import {
  choicesFor,
  isOnItsWay,
  moveFor,
  moveOrder,
  takenOrder,
  movesOf,
  seatAhead,
} from '../../core/outlook.js';
import { minutesSpoken, needsYou, waitingSpoken } from '../../core/outlook-words.js';
import { Mark, WorkPicture } from '../pictures.js';
import { setAside } from './set-aside.js';

const nameOf = (map, id) => map?.[id]?.name ?? id;

/** A child is told what waits and who is beside; how sure it is and why is for the lead. */
function sentences(app, move, mine, other) {
  const { view } = app;
  const depth = app.ahead.stations?.[mine.to]?.depth_min ?? 0;
  return [
    other && t('move.own-swap', { other: nameOf(view.helpers, other.helper) }),
    depth >= 1 && t('needs-you.there', { waiting: waitingSpoken(view, mine.to, depth) }),
    depth < 1 &&
      move.gain_min >= 1 &&
      t('move.own-why', { span: minutesSpoken(move.gain_min) }),
    mine.beside && t('move.own-beside', { adult: nameOf(view.helpers, mine.beside) }),
  ].filter(Boolean);
}

function OwnMove({ app, move, helperId }) {
  const { view } = app;
  const mine = move.steps.find(({ helper }) => helper === helperId);
  const other = move.steps.find(({ helper }) => helper !== helperId);
  const going = isOnItsWay(app, move);
  return html`<section class="own-move">
    <${WorkPicture} work=${view.stations[mine.to]?.work} size="48" />
    <div class="own-words">
      <h2>${t('move.own', { to: nameOf(view.stations, mine.to) })}</h2>
      <p>${sentences(app, move, mine, other).join(' ')}</p>
    </div>
    ${
      going
        ? html`<p class="soft">${t('pending.sending')}</p>`
        : html`<div class="own-actions">
            <button
              class="button button-act"
              onClick=${() => app.send(moveOrder(view, move), { then: takenOrder(move) })}
            >
              ${t('move.own-accept')}
            </button>
            <button class="button" onClick=${() => setAside(app, move)}>
              ${t('move.own-aside')}
            </button>
          </div>`
    }
  </section>`;
}

/** One line on how long there is work, and who needs them when there is not. */
function SeatLine({ app, helperId, onGo }) {
  const seat = seatAhead(app.view, app.ahead, helperId);
  if (!seat) return null;
  const words = seat.idle ? t('seat.idle') : t('seat.dry', { span: minutesSpoken(seat.dry) });
  const best = choicesFor(app.view, app.ahead, helperId).find(
    ({ waiting_min: minutes }) => minutes >= 1,
  );
  return html`<div class="seat-ahead">
    <p><${Mark} of="empty" /><strong>${words}</strong></p>
    ${
      best &&
      html`<button class="button button-line" onClick=${onGo}>
        <${Mark} of="move" /><span>${needsYou(app.view, best)}</span>
      </button>`
    }
  </div>`;
}

/** The move that asks for this helper, else the line on their seat. */
export function OwnAhead({ app, helperId, onGo }) {
  if (!app.ahead) return null;
  const move = moveFor(movesOf(app.view, app.ahead, app.aside), helperId);
  if (move) return html`<${OwnMove} key=${move.id} app=${app} move=${move} helperId=${helperId} />`;
  return html`<${SeatLine} app=${app} helperId=${helperId} onGo=${onGo} />`;
}
