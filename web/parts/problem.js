// A refusal in words: what is wrong, what to do instead, and the offered command as a button.
// <${Problem} app=${app} problem=${problem} onOffer=${send} onDismiss=${away} />

import { html } from '../ui.js';
import { t, known } from '../words/words.js';
import { orderWords } from '../core/orders.js';
import { Mark } from './pictures.js';

function sentence(problem) {
  const key = `refusal.${problem.code}`;
  if (known(key)) return t(key, problem.words);
  return problem.detail ?? problem.title ?? t('problem.unknown', { status: problem.status ?? '' });
}

/** The sentences and, when the server offers a command, the button that sends it. */
export function Problem({ app, problem, onOffer, onDismiss }) {
  const offer = problem?.offer;
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${sentence(problem ?? {})}</strong></p>
      ${problem?.instead && html`<p>${problem.instead}</p>`}
      <div class="row">
        ${
          offer &&
          onOffer &&
          html`<button type="button" class="button button-act" onClick=${() => onOffer(offer)}>
            ${orderWords(app.view, offer)}
          </button>`
        }
        ${
          onDismiss &&
          html`<button type="button" class="button" onClick=${onDismiss}>
            ${t('problem.dismiss')}
          </button>`
        }
      </div>
    </div>
  </div>`;
}

// After an offer is taken, these are tried again on their own: the person has already done the
// work.
const TRIED_AGAIN = ['tally', 'pot-done', 'claim', 'switch', 'fill-pot', 'start-pot'];

/** Refusals of taps, wherever on the day's screens the person is by now. */
export function Refusals({ app }) {
  if (!app.refusals.length) return null;
  const take = (refusal, offer) => {
    const again = TRIED_AGAIN.includes(refusal.command.order) ? refusal.command : undefined;
    app.send(offer, { then: again });
    app.dismiss(refusal.id);
  };
  return html`<section class="refusals" aria-label=${t('problem.title')}>
    ${app.refusals.map(
      (refusal) =>
        html`<div key=${refusal.id}>
          <p class="refusal-of">
            ${t('problem.not-done', { order: orderWords(app.view, refusal.command) })}
          </p>
          <${Problem}
            app=${app}
            problem=${refusal.problem}
            onOffer=${(offer) => take(refusal, offer)}
            onDismiss=${() => app.dismiss(refusal.id)}
          />
        </div>`,
    )}
  </section>`;
}
