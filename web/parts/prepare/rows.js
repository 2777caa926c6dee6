// Rows of the form that can be added and taken away, each with its own heading.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';

/** A part of the form that folds; `note` says what is in it. */
export function Part({ title, note, open, children }) {
  return html`<details class="prepare-part" open=${open}>
    <summary><h2>${title}</h2>${note && html`<span class="soft">${note}</span>`}</summary>
    <div class="prepare-inside">${children}</div>
  </details>`;
}

/** One row for each entry of a map. */
export function Rows({ map, title, row, add, onAdd, onRemove }) {
  const list = entriesOf(map);
  return html`${list.map(
      ([id, one], n) =>
        html`<fieldset class="prepare-row" key=${id}>
          <legend>${title(one, n + 1)}</legend>
          ${row(id, one)}
          <button type="button" class="button button-quiet" onClick=${() => onRemove(id)}>
            ${t('prepare.remove', { name: title(one, n + 1) })}
          </button>
        </fieldset>`,
    )}
    <button type="button" class="button" onClick=${onAdd}>${add}</button>`;
}
