// A form that gives one order: sends it, waits for the answer, shows a refusal right here with
// what to do instead. Not for taps on a station, which are shown as pending and never waited for.
// <${OrderForm} app=${app} button="Save" build=${() => command} onDone=${close}>fields<//>

import { html, useEffect, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { Problem } from './problem.js';

/** `build()` gives the command, or a text that says what is missing. */
export function OrderForm({ app, button, build, onDone, then, danger, children }) {
  const [state, setState] = useState({ is: 'open' });
  const alive = useRef(true);
  useEffect(
    () => () => {
      alive.current = false;
    },
    [],
  );

  async function give(command, next) {
    setState({ is: 'sending' });
    const outcome = await app.send(command, { quiet: true, then: next });
    if (!alive.current) return;
    setState(
      outcome.accepted ? { is: 'done' } : { is: 'refused', problem: outcome.problem, command },
    );
    if (outcome.accepted) onDone?.();
  }

  function submit(event) {
    event.preventDefault();
    const command = build();
    if (typeof command === 'string') setState({ is: 'missing', words: command });
    else if (command) give(command, then);
  }

  return html`<form class="order-form" onSubmit=${submit} novalidate>
    ${children}
    ${state.is === 'missing' && html`<p class="problem" role="alert">${state.words}</p>`}
    ${
      state.is === 'refused' &&
      html`<${Problem} app=${app} problem=${state.problem} onOffer=${(offer) => give(offer)} />`
    }
    <div class="row">
      <button
        class=${danger ? 'button button-danger' : 'button button-act'}
        disabled=${state.is === 'sending'}
      >
        ${state.is === 'sending' ? t('pending.sending') : button}
      </button>
      ${state.is === 'done' && html`<span class="done-word" role="status">${t('form.done')}</span>`}
    </div>
  </form>`;
}
