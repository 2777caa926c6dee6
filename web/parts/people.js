// People as their sign with their name, and choosing one of them.
// <${Person} helper=${helper} />  <${PersonChoice} app=${app} ids=${ids} onPick=${pick} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Sign } from './signs.js';

/** Sign and name; `small` for crowded places. */
export function Person({ helper, small, note, size }) {
  if (!helper) return null;
  return html`<span class=${small ? 'person person-small' : 'person'}>
    <${Sign} name=${helper.sign} of=${helper.name} size=${size ?? (small ? 22 : 34)} />
    <span class="person-name">${helper.name}${note &&
      html`${' '}<small>${note}</small>`}</span></span
  >`;
}

/** Large buttons, one for each person. */
export function PersonChoice({ app, ids, onPick, label }) {
  return html`<div class="person-choice" role="group" aria-label=${label}>
    ${ids.map(
      (id) =>
        html`<button
          type="button"
          key=${id}
          class="button button-person"
          onClick=${() => onPick(id)}
        >
          <${Person} helper=${app.view.helpers[id]} />
        </button>`,
    )}
    ${ids.length === 0 && html`<p class="soft">${t('people.nobody')}</p>`}
  </div>`;
}
