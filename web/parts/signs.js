// Picture signs by which people know themselves, told apart by shape alone. Own drawings on a
// 48 by 48 field. <${Sign} name="pear" size="40" />; an unknown name shows the first letter.

import { html } from '../ui.js';

const L = (d) => html`<path d=${d} class="sign-line" />`;
const F = (d) => html`<path d=${d} />`;
const H = (d) => html`<path d=${d} class="sign-hole" />`;
const dot = (x, y, radius, hole) =>
  html`<circle cx=${x} cy=${y} r=${radius} class=${hole ? 'sign-hole' : ''} />`;

const DRAWINGS = {
  pear: [
    F('M24 14c5 0 7 4 8 9 1 4 6 6 6 13 0 6-6 9-14 9s-14-3-14-9c0-7 5-9 6-13 1-5 3-9 8-9z'),
    L('M24 14c0-4 1-7 4-9'),
    F('M29 9c3-4 8-4 10-2-2 4-7 5-10 2z'),
  ],
  apple: [
    F('M24 16c4-4 17-4 17 9 0 10-7 19-12 19-2 0-3-1-5-1s-3 1-5 1C14 44 7 35 7 25c0-13 13-13 17-9z'),
    L('M24 15c0-4 1-7 3-10'),
  ],
  cherries: [
    dot(14, 35, 9),
    dot(34, 33, 9),
    L('M14 27C16 18 21 11 29 6'),
    L('M34 25c1-8-1-14-5-19'),
  ],
  grapes: [
    dot(15, 19, 6),
    dot(24, 19, 6),
    dot(33, 19, 6),
    dot(19.5, 28, 6),
    dot(28.5, 28, 6),
    dot(24, 37, 6),
    L('M24 13V6'),
    F('M25 8c4-5 9-5 12-3-2 5-8 6-12 3z'),
  ],
  strawberry: [
    F('M24 45C14 38 8 30 8 22c0-5 5-8 16-8s16 3 16 8c0 8-6 16-16 23z'),
    dot(17, 24, 2, 1),
    dot(31, 24, 2, 1),
    dot(24, 29, 2, 1),
    dot(20, 35, 2, 1),
    dot(28, 35, 2, 1),
    F('M12 13l7-3 5-7 5 7 7 3-8 2h-8z'),
  ],
  carrot: [
    F('M31 15c5 3 5 8 1 13-6 7-15 14-23 17 1-9 5-18 11-25 3-4 7-6 11-5z'),
    L('M30 16c2-4 3-7 3-11'),
    L('M33 17c4-1 8-3 10-6'),
    L('M31 16c4-3 7-6 8-9'),
  ],
  mushroom: [
    F('M4 25C4 13 13 6 24 6s20 7 20 19z'),
    F('M17 28h14l3 16H14z'),
    dot(16, 17, 3, 1),
    dot(28, 14, 3, 1),
    dot(35, 20, 2.4, 1),
  ],
  spoon: [html`<ellipse cx="24" cy="13" rx="9" ry="10" />`, F('M21 21h6l2 24h-10z')],
  whisk: [
    L('M24 30C10 24 12 5 24 5s14 19 0 25z'),
    L('M24 30C19 22 20 8 24 5c4 3 5 17 0 25z'),
    F('M21 30h6l1 15h-8z'),
  ],
  jug: [
    F('M12 6h22l-3 9c5 5 6 10 6 15 0 8-3 14-8 14H15c-4 0-7-6-7-14 0-6 3-11 6-15z'),
    L('M35 20c8-2 10 12 1 14'),
  ],
  kettle: [
    F('M10 40c-2-16 4-24 14-24s16 8 14 24z'),
    L('M13 16C14 4 34 4 35 16'),
    L('M10 33L3 22'),
    dot(24, 14, 3),
  ],
  scissors: [
    L('M17 33L36 6'),
    L('M31 33L12 6'),
    html`<circle cx="13" cy="37" r="6" class="sign-line" />`,
    html`<circle cx="35" cy="37" r="6" class="sign-line" />`,
  ],
  hen: [
    F(
      'M6 22c4 6 9 5 14 1 3-3 5-7 5-12 0-4 3-7 7-7 3 0 6 2 6 6l5 3-5 3c0 17-6 25-16 25' +
        'C12 41 5 33 6 22z',
    ),
    L('M20 41v5'),
    L('M27 40v6'),
    dot(33, 11, 1.8, 1),
  ],
  cat: [
    F('M8 6l9 7h14l9-7v20c0 10-7 18-16 18S8 36 8 26z'),
    dot(18, 25, 2.6, 1),
    dot(30, 25, 2.6, 1),
    H('M21 31h6l-3 4z'),
  ],
  fish: [F('M3 24c7-11 22-13 31-3l11-8v22l-11-8c-9 10-24 8-31-3z'), dot(13, 22, 2.4, 1)],
  snail: [
    dot(20, 26, 13),
    html`<circle cx="20" cy="26" r="6" class="sign-hole-line" />`,
    F('M4 38h30c3 0 4-2 4-6V18h6v15c0 7-3 11-9 11H9c-3 0-5-3-5-6z'),
    L('M39 18l-3-8'),
    L('M43 18l2-8'),
  ],
  butterfly: [
    F('M22 24C8 2 2 10 4 18c1 6 6 8 12 8-7 1-10 8-6 13 5 6 12-3 12-13z'),
    F('M26 24c14-22 20-14 18-6-1 6-6 8-12 8 7 1 10 8 6 13-5 6-12-3-12-13z'),
    L('M24 12v26'),
  ],
  turtle: [
    F('M6 32C6 18 14 11 23 11s17 7 17 21z'),
    dot(42, 27, 5),
    F('M10 34h7v8h-7z'),
    F('M29 34h7v8h-7z'),
    H('M21 17h5l3 6-5 5-6-5z'),
  ],
  star: [F('M24 3l6 14 15 1-11 10 3 15-13-8-13 8 3-15L3 18l15-1z')],
  sun: [
    dot(24, 24, 10),
    L('M24 3v6'),
    L('M24 39v6'),
    L('M3 24h6'),
    L('M39 24h6'),
    L('M9 9l5 5'),
    L('M34 34l5 5'),
    L('M39 9l-5 5'),
    L('M14 34l-5 5'),
  ],
  boat: [
    F('M4 33h40c-3 8-8 11-14 11H17C11 44 6 40 4 33z'),
    F('M22 4v26H7z'),
    F('M26 10l14 20H26z'),
  ],
  house: [F('M24 4l21 19h-6v21H9V23H3z'), H('M20 30h8v14h-8z')],
  moon: [F('M31 4A20.5 20.5 0 1 0 44 31 17 17 0 0 1 31 4z')],
  tree: [F('M24 3l13 15h-6l10 12H28v14h-8V30H7l10-12h-6z')],
  key: [
    html`<circle cx="13" cy="24" r="8.5" class="sign-line" />`,
    L('M22 24h22'),
    L('M36 24v9'),
    L('M43 24v7'),
  ],
  ladder: [
    L('M15 4v40'),
    L('M33 4v40'),
    L('M15 12h18'),
    L('M15 22h18'),
    L('M15 32h18'),
    L('M15 41h18'),
  ],
  bell: [F('M24 4c9 0 13 7 13 15 0 8 2 11 6 15H5c4-4 6-7 6-15 0-8 4-15 13-15z'), dot(24, 40, 5)],
  mitten: [
    F('M16 33V14c0-12 17-12 17 0v6c2-5 9-5 9 1 0 6-6 9-9 12z'),
    html`<rect x="14" y="36" width="21" height="8" rx="2" />`,
  ],
  flower: [
    dot(24, 10, 7),
    dot(37, 20, 7),
    dot(32, 35, 7),
    dot(16, 35, 7),
    dot(11, 20, 7),
    dot(24, 23, 9),
    dot(24, 23, 5, 1),
  ],
  anchor: [
    html`<circle cx="24" cy="9" r="5" class="sign-line" />`,
    L('M24 14v28'),
    L('M15 21h18'),
    L('M6 29c2 18 34 18 36 0'),
  ],
  rabbit: [
    html`<ellipse cx="17" cy="14" rx="5" ry="12" />`,
    html`<ellipse cx="31" cy="14" rx="5" ry="12" />`,
    dot(24, 32, 13),
    dot(19, 30, 2.2, 1),
    dot(29, 30, 2.2, 1),
    H('M21.5 36h5l-2.5 3z'),
  ],
  bee: [
    html`<ellipse cx="25" cy="31" rx="17" ry="12" />`,
    html`<ellipse cx="19" cy="12" rx="6" ry="9" transform="rotate(-28 19 12)" />`,
    html`<ellipse cx="32" cy="11" rx="6" ry="9" transform="rotate(14 32 11)" />`,
    H('M19 18.5h5v25h-5z'),
    H('M29 18.5h5v25h-5z'),
    L('M8 27L3 20'),
    dot(13, 29, 1.8, 1),
  ],
};

/** The names of all signs. */
export const SIGNS = Object.keys(DRAWINGS);

/** One sign; decorative, because the name always stands beside it. */
export function Sign({ name, size = 40, of = '' }) {
  const drawing = DRAWINGS[name];
  return html`<svg class="sign" width=${size} height=${size} viewBox="0 0 48 48" aria-hidden="true">
    ${
      drawing ??
      html`<text x="24" y="35" text-anchor="middle" class="sign-letter">
        ${(of || '?').slice(0, 1).toUpperCase()}</text
      >`
    }
  </svg>`;
}
