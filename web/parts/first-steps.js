// What is still to be done before the first box, each step one tap from where it is done; in the
// place of the finish. <${FirstSteps} steps=${steps} onOpen=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Mark } from './pictures.js';

const LEADS_TO = {
  fruit: { is: 'thing', kind: 'lots' },
  people: { is: 'code' },
  altitude: { is: 'thing', kind: 'day' },
  box: { is: 'day' },
};

/** The steps of `core/first-steps.js`. */
export function FirstSteps({ steps, onOpen }) {
  const next = steps.find(({ done }) => !done)?.step;
  return html`<section class="finish-strip first-steps">
    <h2>${t('first.title')}</h2>
    <ol>
      ${steps.map(
        ({ step, done, n }, index) =>
          html`<li key=${step}>
            <button
              class=${step === next ? 'button button-act' : 'button'}
              onClick=${() => onOpen(LEADS_TO[step])}
            >
              ${done ? html`<${Mark} of="done" size="20" />` : html`<b>${index + 1}.</b>`}
              <span>${t(done ? `first.${step}.done` : `first.${step}`, { n })}</span>
            </button>
          </li>`,
      )}
    </ol>
  </section>`;
}
