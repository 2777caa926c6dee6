// What must not be eaten, and what to do with it. <${Recalls} app=${app} shelf=${shelf}
// recalls=${list} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { countOf } from '../../core/package-lots.js';
import { Mark } from '../pictures.js';
import { Fold } from '../sheet.js';

/** The steps, after the published advice on spoiled canned food. */
export function RecallWhat() {
  return html`<ol class="recall-steps">
      ${[1, 2, 3, 4].map((n) => html`<li key=${n}>${t(`shelf.recall-${n}`)}</li>`)}
    </ol>
    <p class="soft">${t('shelf.spoil-source')}</p>`;
}

/** Every recall there is. */
export function Recalls({ app, shelf, recalls }) {
  return (recalls ?? []).map((one) => {
    const counts = ['left', 'eaten', 'waiting'].map((name) => [name, countOf(one[name])]);
    return html`<section
      class="caution caution-danger recall"
      key=${`${one.day}/${one.batch}`}
      aria-label=${t('shelf.recall-title', { batch: one.batch })}
    >
      <h2><${Mark} of="danger" /> ${t('shelf.recall-title', { batch: one.batch })}</h2>
      <p>${one.reason}</p>
      <p><strong>${t('shelf.recall-line', Object.fromEntries(counts))}</strong></p>
      <p class="row">
        ${one.lots.map(
          ({ day, code }) => html`<a class="button" key=${code} href=${`#/lot/${day}/${code}`}>${code}</a>`,
        )}
      </p>
      <${Fold} title=${t('shelf.recall-what')}><${RecallWhat} /><//>
      ${
        app.lead &&
        html`<button
          type="button"
          class="button"
          disabled=${shelf.busy}
          onClick=${() =>
            shelf.send({ order: 'end-recall', batch: { day: one.day, batch: one.batch } })}
        >
          ${t('shelf.end-recall')}
        </button>`
      }
    </section>`;
  });
}
