// How deep a queue is, drawn as the pile that really stands there: bowls in one another, trays
// on one another, jars side by side. <${Pile} carriers=${2500} name="bowl" measure="lb" />
// Own way of showing depth; the words beside it say the same.

import { html } from '../ui.js';

const SHAPES = {
  bowl: { d: 'M2 2h36c0 9-7 14-18 14S2 11 2 2z', width: 40, height: 18, rise: 8, across: 1 },
  tray: { d: 'M2 3h40l-3 7H5z', width: 44, height: 12, rise: 10, across: 1 },
  pot: {
    d: 'M5 3h30v14c0 3-2 4-4 4H9c-2 0-4-1-4-4zM1 7h4M35 7h4',
    width: 40,
    height: 24,
    rise: 24,
    across: 2,
  },
  jar: {
    d: 'M4 2h10v3l2 3v14c0 1-1 2-2 2H4c-1 0-2-1-2-2V8l2-3z',
    width: 18,
    height: 26,
    rise: 27,
    across: 5,
  },
  box: { d: 'M2 3h36v17H2zM2 9h36', width: 40, height: 22, rise: 19, across: 1 },
  bag: { d: 'M4 3h16l2 19H2zM5 8h14', width: 24, height: 24, rise: 25, across: 4 },
};
const WORDS = [
  ['tray', /tray|sheet|rack/],
  ['pot', /pot|pan|kettle|roaster|bucket/],
  ['jar', /jar|pint|quart|glass/],
  ['box', /box|crate|basket|lug/],
  ['bag', /bag|tub|packet/],
];

/** Which shape a carrier's name asks for. */
export function shapeOf(name, measure) {
  const found = WORDS.find(([, words]) => words.test((name ?? '').toLowerCase()));
  if (found) return found[0];
  return { jar: 'jar', bag: 'bag', tub: 'bag' }[measure] ?? 'bowl';
}

const MOST_ROWS = 5;

/** The pile. At most five rows are drawn; a bar on top says there is more. */
export function Pile({ carriers, name, measure, scale = 1, rows = MOST_ROWS }) {
  const shape = SHAPES[shapeOf(name, measure)];
  const most = rows * shape.across;
  const full = Math.floor(carriers / 1000);
  const part = carriers % 1000 > 0;
  const shown = Math.min(full, most);
  const extra = full > most || (part && full >= most);
  const count = shown + (part && !extra ? 1 : 0);
  const lines = Math.max(1, Math.ceil(count / shape.across));
  const width = shape.width * Math.min(shape.across, Math.max(1, count)) + 4;
  const height = shape.height + shape.rise * (lines - 1) + (extra ? 8 : 2);
  const at = (index) => {
    const row = Math.floor(index / shape.across);
    const x = 2 + (index % shape.across) * shape.width;
    return `translate(${x} ${height - shape.height - row * shape.rise})`;
  };
  return html`<svg
    class="pile"
    aria-hidden="true"
    viewBox=${`0 0 ${width} ${height}`}
    width=${width * scale}
    height=${height * scale}
  >
    ${Array.from(
      { length: count },
      (_, index) =>
        html`<path
          d=${shape.d}
          transform=${at(index)}
          class=${index < shown ? 'pile-full' : 'pile-part'}
        />`,
    )}
    ${count === 0 && html`<path d=${shape.d} transform=${at(0)} class="pile-none" />`}
    ${extra && html`<path class="pile-more" d=${`M${width / 2 - 12} 3h24`} />`}
  </svg>`;
}
