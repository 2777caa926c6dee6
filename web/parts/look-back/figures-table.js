// A table that keeps its head in view and scrolls in its own room. <${FiguresTable} label="Loads"
// heads=${heads} rows=${rows} />; the first cell of a row names it.

import { html } from '../../ui.js';

/** The table. */
export function FiguresTable({ label, heads, rows }) {
  return html`<div class="table-room" tabindex="0" role="region" aria-label=${label}>
    <table>
      <thead>
        <tr>
          ${heads.map((head) => html`<th scope="col" key=${head}>${head}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          ([name, ...cells], row) =>
            html`<tr key=${row}>
              <th scope="row">${name}</th>
              ${cells.map((cell, index) => html`<td key=${index}>${cell}</td>`)}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}
