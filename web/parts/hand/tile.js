// Large buttons with a picture and few words, for choosing with one tap.
// <${Tile} picture="lids" words="Lids" onTap=${ask} />  <${Tiles}>tiles<//>

import { html } from '../../ui.js';

const PICTURES = {
  soft: [
    'M5 21c0-8 5-11 11-11s11 3 11 11c0 5-4 7-11 7S5 26 5 21z',
    'M10 19c2 3 5 3 6 0M19 22h.1M13 24h.1',
    'M16 10c0-4 2-6 6-6',
  ],
  need: [
    'M9 17V8a2 2 0 0 1 4 0v7V5a2 2 0 0 1 4 0v10V7a2 2 0 0 1 4 0v9v-5a2 2 0 0 1 4 0v9' +
      'c0 6-3 9-8 9-4 0-6-2-8-5l-4-6c-1-3 2-4 4-1z',
  ],
  else: ['M3 11h20M17 5l6 6-6 6', 'M29 22H9M15 16l-6 6 6 6'],
  chores: ['M25 3l-9 13', 'M11 14l10 7-5 9-13-8z', 'M8 21l7 5M12 18l6 4'],
  cup: [
    'M5 12h17v9c0 4-3 6-8 6s-9-2-9-6z',
    'M22 14c6-1 6 8 0 8',
    'M10 8c-1-2 1-3 0-5M17 8c-1-2 1-3 0-5',
  ],
  leave: ['M6 4v14h11v10M6 18v10', 'M19 10h10M25 5l5 5-5 5'],
  home: ['M3 16L16 4l13 12', 'M7 13v15h18V13', 'M13 28v-9h6v9'],
  speak: ['M3 12h6l8-7v22l-8-7H3z', 'M21 12c2 2 2 6 0 8', 'M25 8c5 5 5 11 0 16'],
  back: ['M13 6l-8 9 8 9', 'M5 15h14c10 0 10 12 2 12'],
  jars: ['M10 5h12v4l2 4v13c0 1-1 2-2 2H10c-1 0-2-1-2-2V13l2-4z', 'M10 9h12', 'M8 18h16'],
  lids: ['M4 13c0-6 24-6 24 0v5c0 6-24 6-24 0z', 'M4 13c0 6 24 6 24 0'],
  tubs: ['M5 11h22l-2 17H7z', 'M3 7h26v4H3z'],
  bowls: ['M3 13h26c0 9-5 13-13 13S3 22 3 13z', 'M11 28h10'],
  box: ['M3 11h26v17H3z', 'M3 19h26', 'M10 11v17M22 11v17', 'M12 6l4-3 4 3'],
  spill: [
    'M16 3c4 5 6 7 6 11a6 6 0 0 1-12 0c0-4 2-6 6-11z',
    'M3 27c2-4 24-4 26 0-2 3-24 3-26 0z',
  ],
  adult: [
    'M11 4a4 4 0 1 0 .1 0z',
    'M3 28c0-16 16-16 16 0z',
    'M25 13a3 3 0 1 0 .1 0z',
    'M21 28c0-8 9-8 9 0z',
  ],
  liquid: ['M8 4h15l-3 7c4 3 5 6 5 10 0 4-2 7-5 7H11c-3 0-5-3-5-7 0-4 1-7 4-9z', 'M7 18h17'],
  fresh: [
    'M22 11c-2-3-4-2-6-1-4-3-11-1-11 7 0 6 4 11 8 11 1 0 2-1 3-1s2 1 3 1c3 0 6-4 7-8-5 0-7-5-4-9z',
    'M16 10c0-3 1-5 4-6',
  ],
  refrigerator: ['M8 3h16v26H8z', 'M8 13h16', 'M12 7v3M12 17v4'],
  freezer: ['M16 3v26M5 9l22 14M27 9L5 23', 'M12 5l4 4 4-4M12 27l4-4 4 4'],
  scraps: ['M5 12h22l-3 16H8z', 'M5 12c0-11 22-11 22 0'],
  device: ['M9 3h14v26H9z', 'M14 25h4'],
  happy: ['M16 3a13 13 0 1 0 .1 0z', 'M10 18c2 6 10 6 12 0', 'M11 12v.1M21 12v.1'],
};

/** A picture of an action or a thing; the words beside it say the same. */
export function HandPicture({ of, size = 40 }) {
  return html`<svg
    class="hand-picture"
    width=${size}
    height=${size}
    viewBox="0 0 32 32"
    aria-hidden="true"
  >
    ${(PICTURES[of] ?? PICTURES.box).map((d) => html`<path d=${d} />`)}
  </svg>`;
}

/** One choice. `children` stand below the words; `art` is a drawing in the picture's place. */
export function Tile({ picture, art, words, name, onTap, pressed, disabled, kind = '', children }) {
  return html`<button
    type="button"
    class=${`tile ${kind}`}
    disabled=${disabled}
    aria-pressed=${pressed}
    aria-label=${name}
    onClick=${onTap}
  >
    ${art || html`<${HandPicture} of=${picture} />`}
    <span class="tile-words">${words}</span>
    ${children}
  </button>`;
}

/** Tiles side by side, as many as there is room for. */
export const Tiles = ({ label, children }) =>
  html`<div class="tiles" role="group" aria-label=${label}>${children}</div>`;
