// A refusal in words: what is wrong, what to do instead, and the offered command as a button.
// <${Problem} app=${app} problem=${problem} onOffer=${send} onDismiss=${away} />

import { html } from '../ui.js';
import { refusalWords, t } from '../words/words.js';
import { orderWords } from '../core/orders.js';
import { Mark } from './pictures.js';

function sentence(problem) {
  return problem.detail ?? problem.title ?? t('problem.unknown', { status: problem.status ?? '' });
}

/** The server's own words, where another language said them in other words above. */
export function ExactWords({ problem }) {
  return html`<details class="fold">
    <summary>${t('problem.exact')}</summary>
    <p class="fold-inside" lang="en">${sentence(problem)} ${problem.instead}</p>
  </details>`;
}

/** The sentences and, when the server offers a command, the button that sends it. */
export function Problem({ app, problem, onOffer, onDismiss }) {
  const offer = problem?.offer;
  const said = refusalWords(problem?.code, problem?.words);
  const instead = said ? said.instead : problem?.instead;
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${said ? said.what : sentence(problem ?? {})}</strong></p>
      ${instead && html`<p>${instead}</p>`}
      ${said && problem.detail && html`<${ExactWords} problem=${problem} />`}
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
            ${t('problem.not-done', { order: refusal.said ?? orderWords(app.view, refusal.command) })}
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
