// Orders to the shelf from a screen: one at a time, heard for certain or said not to be, and what
// was refused in words. const shelf = useShelf(app, reload);

import { html, useState } from '../../ui.js';
import { known, t } from '../../words/words.js';
import { isUnheard, sendUntilHeard } from '../../core/shelf-orders.js';
import { Problem } from '../problem.js';

const pause = (ms) =>
  new Promise((done) => {
    setTimeout(done, ms);
  });

/** How often a shown shelf is asked for again, in seconds. */
export const LOOK_EVERY_S = 15;

/** `{busy, fault, send(command), again(), dismiss()}`; `send` resolves to the receipt or null. */
export function useShelf(app, reload) {
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState(null);
  async function post(body) {
    setBusy(true);
    const answer = await sendUntilHeard(app.post, '/api/shelf/commands', body, pause);
    setBusy(false);
    const done = answer.status === 200;
    setFault(done ? null : { body, problem: answer.body, unheard: isUnheard(answer.status) });
    await reload();
    return done ? answer.body : null;
  }
  return {
    busy,
    fault,
    send: (command) => post({ id: app.uuid(), command }),
    again: () => fault && post(fault.body),
    dismiss: () => setFault(null),
  };
}

/** What was refused or not heard. */
export function ShelfFault({ app, shelf }) {
  const { fault } = shelf;
  if (!fault) return null;
  if (fault.unheard)
    return html`<div class="caution" role="alert">
      <p>${t('shelf.not-sent')}</p>
      <button class="button button-act" disabled=${shelf.busy} onClick=${shelf.again}>
        ${t('shelf.again')}
      </button>
    </div>`;
  const key = `shelf.no.${fault.problem?.code}`;
  const said = known(key);
  const problem = said
    ? { detail: t(key, fault.problem.words ?? {}) }
    : (fault.problem ?? { detail: t('days.unreachable') });
  return html`<${Problem} app=${app} problem=${problem} onDismiss=${shelf.dismiss} />`;
}
