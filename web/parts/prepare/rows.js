// Rows of the form that can be added and taken away, each with its own heading. A note of null says
// that something is still to be filled in.

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';

/** A part of the form that folds; `note` says what is in it. */
export function Part({ title, note, open, children }) {
  return html`<details class="prepare-part" open=${open}>
    <summary><h2>${title}</h2>${note && html`<span class="soft">${note}</span>`}</summary>
    <div class="prepare-inside">${children}</div>
  </details>`;
}

/** A row that folds once it is filled in; while it is open, typing does not close it. */
function Row({ title, note, whole, children }) {
  const [open] = useState(!whole);
  return html`<details class="prepare-row" open=${open}>
    <summary><span>${title}</span>${note && html`<span class="soft">${note}</span>`}</summary>
    <div class="prepare-inside">${children}</div>
  </details>`;
}

/** One row for each entry of a map; `note` says in short what is in it, once it is whole. */
export function Rows({ map, title, note = () => '', row, add, onAdd, onRemove }) {
  const list = entriesOf(map);
  return html`${list.map(([id, one], n) => {
      const said = note(one);
      return html`<${Row} key=${id} title=${title(one, n + 1)} note=${said} whole=${said !== null}>
        ${row(id, one)}
        <button type="button" class="button button-quiet" onClick=${() => onRemove(id)}>
          ${t('prepare.remove', { name: title(one, n + 1) })}
        </button>
      <//>`;
    })}
    <button type="button" class="button" onClick=${onAdd}>${add}</button>`;
}
