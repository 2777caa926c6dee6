// What the lead did last, each order with its way back. <${TakeBackSheet} app=${app} done=${done}
// onClose=${close} />; `useTakeBack(app)` keeps the list and gives a `send` that fills it.

import { html, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { orderWords } from '../core/orders.js';
import { reverseOf } from '../core/reverse.js';
import { Mark } from './pictures.js';
import { Sheet } from './sheet.js';

const MOST_KEPT = 6;

/** `[app, done, back]`: the app whose orders are kept, those that can be taken back, and how. */
export function useTakeBack(app) {
  const [done, setDone] = useState([]);
  const count = useRef(0);
  const alive = useRef(app);
  alive.current = app;
  const send = async (command, options) => {
    const before = alive.current.view;
    const outcome = await app.send(command, options);
    if (outcome.accepted && reverseOf(before, command).length) {
      count.current += 1;
      const one = { id: count.current, before, command };
      setDone((list) => [one, ...list].slice(0, MOST_KEPT));
    }
    return outcome;
  };
  const back = ({ id, before, command }) => {
    const [first, then] = reverseOf(before, command, alive.current.view);
    setDone((list) => list.filter((one) => one.id !== id));
    if (first) app.send(first, { then });
  };
  return [{ ...app, send }, done, back];
}

/** The sheet. */
export function TakeBackSheet({ app, done, onBack, onClose }) {
  const take = (one) => {
    onBack(one);
    onClose();
  };
  return html`<${Sheet} app=${app} title=${t('take-back.title')} onClose=${onClose}>
    ${done.length === 0 && html`<p class="soft">${t('take-back.none')}</p>`}
    <ul class="take-back">
      ${done.map((one) => {
        // What was added is known by its name only since.
        const known = one.command.order.startsWith('add-') ? app.view : one.before;
        const words = orderWords(known, one.command);
        return html`<li key=${one.id}>
          <span>${words}</span>
          <button
            class="button"
            aria-label=${t('take-back.label', { order: words })}
            onClick=${() => take(one)}
          >
            <${Mark} of="undo" size="20" />${t('take-back.do')}
          </button>
        </li>`;
      })}
    </ul>
    <p class="hint">${t('take-back.hint')}</p><//
  >`;
}
