// What the work is done on, as a filled drawing that is told by its outline as well as its colour.
// <${Produce} of="pears" size="40" />; decorative, because words stand beside it.

import { html } from '../../ui.js';

const LEAF = 'M17 8c2-5 6-6 9-4-1 4-5 6-9 4z';
const DRAWN = {
  pear: ['M16 7c4 0 4 4 6 8 2 3 4 5 4 9 0 4-4 6-10 6S6 28 6 24c0-4 2-6 4-9 2-4 2-8 6-8z'],
  apple: ['M16 10c4-4 12-2 12 6 0 8-5 14-8 14-2 0-2-1-4-1s-2 1-4 1c-3 0-8-6-8-14 0-8 8-10 12-6z'],
  peach: ['M16 9c8-3 13 3 12 10-1 6-7 11-12 11S5 25 4 19C3 12 8 6 16 9z', 'line M16 9c-4 5-4 10 0 15'],
  plum: ['M16 8c7 0 11 5 11 11s-5 11-11 11S5 25 5 19 9 8 16 8z', 'line M18 10c4 5 4 11 0 16'],
  tomato: ['M16 11c8-3 13 2 13 8s-6 11-13 11S3 25 3 19s5-11 13-8z', 'line M10 10l6 3 6-3M16 13v3'],
  cherry: [
    'M10 19a6 6 0 1 0 .1 0z',
    'M22 18a6 6 0 1 0 .1 0z',
    'line M10 19c1-7 5-11 10-14M22 18c0-6-1-10-2-13',
  ],
  berry: [
    'M10 12a4 4 0 1 0 .1 0zM16 12a4 4 0 1 0 .1 0zM22 12a4 4 0 1 0 .1 0z',
    'M13 17a4 4 0 1 0 .1 0zM19 17a4 4 0 1 0 .1 0zM16 22a4 4 0 1 0 .1 0z',
  ],
  carrot: ['M20 9c5 2 5 7 2 10-5 6-11 10-17 11 2-6 4-12 9-17 2-3 4-4 6-4z', 'line M22 10l5-5M21 10V3'],
  cucumber: ['M24 5c5 1 6 6 2 11-5 6-11 12-17 13-5-1-6-6-2-11C12 12 18 6 24 5z', 'line M12 21h.1M17 16h.1M21 11h.1'],
  bean: ['M27 5c3 10-6 24-20 24-4-1-4-5 0-6C17 21 20 13 22 6c1-3 4-4 5-1z'],
  corn: ['M16 4c6 4 6 18 0 26-6-8-6-22 0-26z', 'line M12 30C6 26 6 18 9 14M20 30c6-4 6-12 3-16'],
  jar: ['M10 4h12v5l2 3v15c0 2-1 3-3 3H11c-2 0-3-1-3-3V12l2-3z', 'line M10 9h12'],
  fruit: ['M16 8a11 11 0 1 0 .1 0z'],
};
const LEAFY = ['pear', 'apple', 'peach', 'plum', 'fruit'];
const WORDS = [
  ['jar', /jar|glass|frasco|tarro/],
  ['pear', /\bpears?\b|\bperas?\b/],
  ['apple', /apple|manzana/],
  ['peach', /peach|nectarine|apricot|durazno|melocot|chabacano/],
  ['plum', /plum|prune|ciruela/],
  ['tomato', /tomato|jitomate|tomate/],
  ['cherry', /cherr|cereza/],
  ['berry', /berr|grape|currant|mora|fresa|uva/],
  ['carrot', /carrot|zanahoria/],
  ['cucumber', /cucumber|pickle|pepino/],
  ['bean', /bean|ejote|jud/],
  ['corn', /corn|ma[ií]z|elote/],
];

/** Which drawing a word for produce asks for. */
export const drawingOf = (produce) =>
  WORDS.find(([, words]) => words.test((produce ?? '').toLowerCase()))?.[0] ?? 'fruit';

/** One piece. */
export function Produce({ of, size = 36 }) {
  const name = drawingOf(of);
  const shape = (d) =>
    d.startsWith('line ')
      ? html`<path class="produce-line" d=${d.slice(5)} />`
      : html`<path d=${d} />`;
  return html`<svg
    class=${`produce produce-${name}`}
    width=${size}
    height=${size}
    viewBox="0 0 32 32"
    aria-hidden="true"
  >
    ${DRAWN[name].map(shape)}${LEAFY.includes(name) &&
    html`<path class="produce-leaf" d=${LEAF} /><path class="produce-line" d="M16 9c0-2 0-4 1-6" />`}
  </svg>`;
}
