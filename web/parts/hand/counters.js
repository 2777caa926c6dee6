// A number to be seen rather than read: a rod for each ten and a dot for each one, five in a row.
// What is not on the board yet is drawn hollow. <${Counters} n=${13} coming=${1} />
// The number itself is always said beside it.

import { html } from '../../ui.js';

const STEP = 16;
const MOST_RODS = 6;

/** The dots; `n` with those in it that are still `coming`. */
export function Counters({ n, coming = 0, scale = 1 }) {
  const rods = Math.min(MOST_RODS, Math.floor(Math.max(0, n - 1) / 10));
  const dots = Math.min(10, n - Math.floor(Math.max(0, n - 1) / 10) * 10);
  const rows = Math.max(rods, Math.ceil(dots / 5), 1);
  const left = rods ? STEP * 5.6 : 0;
  const width = left + STEP * Math.min(5, Math.max(dots, 1));
  const height = rows * STEP;
  const at = (index) => [left + (index % 5) * STEP + 8, Math.floor(index / 5) * STEP + 8];
  return html`<svg
    class="counters"
    viewBox=${`0 0 ${width} ${height}`}
    width=${width * scale}
    height=${height * scale}
    aria-hidden="true"
  >
    ${Array.from(
      { length: rods },
      (_, row) =>
        html`<rect class="counter" x="1" y=${row * STEP + 3} width=${STEP * 5} height="10" rx="5" />`,
    )}
    ${Array.from({ length: dots }, (_, index) => {
      const [x, y] = at(index);
      const hollow = index >= dots - coming;
      return html`<circle class=${hollow ? 'counter counter-coming' : 'counter'}
        cx=${x} cy=${y} r="6" />`;
    })}
  </svg>`;
}
