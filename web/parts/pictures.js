// Line pictures of the kinds of work and of marks for warnings. Own drawings on a 32 by 32 field.
// <${WorkPicture} work="wash" size="40" />; always beside words, so hidden from screen readers.

import { html } from '../ui.js';

const WORK = {
  wash: [
    'M4 17h24c0 7-5 11-12 11S4 24 4 17z',
    'M10 4v3',
    'M16 3v4',
    'M22 4v3',
    'M10 10v2',
    'M16 10v3',
    'M22 10v2',
  ],
  scald: [
    'M5 16h22v6c0 4-3 6-6 6H11c-3 0-6-2-6-6z',
    'M2 18h3M27 18h3',
    'M11 12c-2-3 2-4 0-8',
    'M16 12c-2-3 2-4 0-8',
    'M21 12c-2-3 2-4 0-8',
  ],
  peel: [
    'M20 11c5 5 4 13-2 16-5 2-11-1-12-7 0-5 3-8 8-9',
    'M14 11c3-1 5 1 5 4s-3 4-5 3',
    'M20 11l7-8',
  ],
  slice: ['M4 20L24 4c4 4 2 10-4 13z', 'M4 20l5 5 11-8', 'M4 28h24'],
  cook: [
    'M5 13h22v10c0 3-2 5-5 5H10c-3 0-5-2-5-5z',
    'M2 15h3M27 15h3',
    'M9 13c1-3 3-4 7-4s6 1 7 4',
    'M16 9V6',
  ],
  strain: ['M4 8h24L17 20h-2z', 'M11 12h.1M16 12h.1M21 12h.1M16 16h.1', 'M16 22v2', 'M8 28h16'],
  fill: [
    'M10 11h12l2 4v11c0 1-1 2-2 2H10c-1 0-2-1-2-2V15z',
    'M9 20h14',
    'M16 2v6',
    'M13 6l3 3 3-3',
  ],
  process: [
    'M4 12h24v13c0 2-1 3-3 3H7c-2 0-3-1-3-3z',
    'M2 12h28',
    'M9 17v7M16 17v7M23 17v7',
    'M10 8c-1-2 1-3 0-5M21 8c-1-2 1-3 0-5',
  ],
  cool: ['M6 12h8l1 3v9H5v-9z', 'M18 12h8l1 3v9H17v-9z', 'M6 9h8M18 9h8', 'M3 28h26'],
  bag: ['M8 9h16l1 17c0 1-1 2-2 2H9c-1 0-2-1-2-2z', 'M8 9V5h16v4', 'M11 13h10'],
  freeze: ['M16 3v26M5 9l22 14M27 9L5 23', 'M12 5l4 4 4-4M12 27l4-4 4 4'],
  clean: ['M14 3h4v10h-4z', 'M9 13h14l2 15H7z', 'M12 20v8M16 20v8M20 20v8'],
  other: ['M6 16h20', 'M16 6v20', 'M16 3a13 13 0 1 0 .1 0z'],
};

/** The picture of a kind of work. */
export function WorkPicture({ work, size = 36 }) {
  return html`<svg
    class="work-picture"
    width=${size}
    height=${size}
    viewBox="0 0 32 32"
    aria-hidden="true"
  >
    ${(WORK[work] ?? WORK.other).map((d) => html`<path d=${d} />`)}
  </svg>`;
}

const MARKS = {
  danger: ['M10 3h12l7 7v12l-7 7H10l-7-7V10z', 'M16 9v9M16 22v.5'],
  warn: ['M16 4l13 24H3z', 'M16 13v7M16 24v.5'],
  note: ['M16 3a13 13 0 1 0 .1 0z', 'M16 14v9M16 9v.5'],
  due: ['M16 5a12 12 0 1 0 .1 0z', 'M16 10v7l5 3', 'M5 4L2 7M27 4l3 3'],
  soon: ['M16 5a12 12 0 1 0 .1 0z', 'M16 10v7h5'],
  calm: ['M16 5a12 12 0 1 0 .1 0z', 'M16 10v7'],
  hand: [
    'M9 17V8a2 2 0 0 1 4 0v7V5a2 2 0 0 1 4 0v10V7a2 2 0 0 1 4 0v9v-5a2 2 0 0 1 4 0v9' +
      'c0 6-3 9-8 9-4 0-6-2-8-5l-4-6c-1-3 2-4 4-1z',
  ],
  done: ['M5 17l7 7L27 8'],
  never: ['M16 3a13 13 0 1 0 .1 0z', 'M7 7l18 18'],
  beside: [
    'M11 6a4 4 0 1 0 .1 0z',
    'M4 28c0-9 14-9 14 0',
    'M23 13a3 3 0 1 0 .1 0z',
    'M20 22c4-2 8 0 8 6',
  ],
  seat: ['M9 4v14h14v10M9 18v10M9 18l14 0'],
  neck: ['M12 3h8', 'M13 3v6c0 4-6 5-6 11v6c0 2 1 3 3 3h12c2 0 3-1 3-3v-6c0-6-6-7-6-11V3'],
  flag: ['M8 29V4h17l-4 6 4 6H8'],
  empty: ['M3 14h26c0 8-5 12-13 12S3 22 3 14z', 'M12 6l8 0'],
  move: ['M4 16h23M18 7l9 9-9 9'],
  idea: ['M12 23c0-4-5-6-5-12a9 9 0 0 1 18 0c0 6-5 8-5 12z', 'M13 28h6'],
  sooner: ['M15 7l-9 9 9 9M26 7l-9 9 9 9'],
  later: ['M6 7l9 9-9 9M17 7l9 9-9 9'],
  undo: ['M12 6l-7 6 7 6', 'M5 12h14c10 0 10 15 0 15h-6'],
  line: ['M3 12c8-8 18-8 26 0M8 18c5-5 11-5 16 0M13 23c2-2 4-2 6 0'],
  cut: ['M3 12c8-8 18-8 26 0M13 23c2-2 4-2 6 0', 'M5 4l22 24'],
  bell: ['M7 24V14a9 9 0 0 1 18 0v10zM4 24h24M14 28h4'],
  person: ['M16 4a5 5 0 1 0 .1 0z', 'M6 29c0-16 20-16 20 0z'],
  newcomer: ['M13 5a5 5 0 1 0 .1 0z', 'M3 28c0-13 20-13 20 0', 'M26 5v10M21 10h10'],
  mute: ['M7 24V14a9 9 0 0 1 18 0v10zM4 24h24', 'M4 4l24 24'],
};

/** A mark; its shape says the same as its colour. */
export function Mark({ of, size = 22 }) {
  return html`<svg
    class=${`mark mark-${of}`}
    width=${size}
    height=${size}
    viewBox="0 0 32 32"
    aria-hidden="true"
  >
    ${(MARKS[of] ?? MARKS.note).map((d) => html`<path d=${d} />`)}
  </svg>`;
}

const STEPS = {
  headspace: [
    'M10 6h12v3l2 4v13c0 1-1 2-2 2H10c-1 0-2-1-2-2V13l2-4z',
    'M8 17h16',
    'M28 9v8',
    'M26 11l2-2 2 2M26 15l2 2 2-2',
  ],
  acid: ['M16 3c5 6 8 9 8 14a8 8 0 0 1-16 0c0-5 3-8 8-14z', 'M12 18c0 3 2 4 4 4'],
  sterilise: [
    'M4 14h24v10c0 3-2 4-4 4H8c-2 0-4-1-4-4z',
    'M11 20h10v8H11z',
    'M10 10c-2-2 2-4 0-7M16 10c-2-2 2-4 0-7M22 10c-2-2 2-4 0-7',
  ],
  press: ['M6 22h20', 'M8 22c3 4 13 4 16 0', 'M16 4v12', 'M12 12l4 5 4-5', 'M8 28h16'],
  look: ['M3 12c6-9 20-9 26 0-6 9-20 9-26 0z', 'M16 8a4 4 0 1 0 .1 0z', 'M6 27c6-3 14-3 20 0'],
  tap: ['M6 4l12 12', 'M18 16c3-1 5 1 4 4', 'M5 25h22M8 29h16', 'M26 14l3-2M27 18h3'],
  blade: ['M4 22L24 3c4 5 1 11-6 16z', 'M4 22l4 4 9-7', 'M22 26l1 3M27 23l2 2'],
  hot: ['M16 3c1 6 8 8 8 16a8 8 0 0 1-16 0c0-4 2-6 4-8 0 3 1 4 2 5 2-4 2-8 2-13z'],
  steam: [
    'M4 24h24',
    'M6 24v4h20v-4',
    'M9 19c-3-4 3-6 0-12M16 19c-3-4 3-6 0-12M23 19c-3-4 3-6 0-12',
  ],
  lift: [
    'M11 14h10v12c0 1-1 2-2 2h-6c-1 0-2-1-2-2z',
    'M10 14h12',
    'M16 10V2M12 6l4-4 4 4',
    'M6 20v-6M26 20v-6',
  ],
  poison: ['M10 9h12l2 4v13c0 1-1 2-2 2H10c-1 0-2-1-2-2V13z', 'M11 5h10', 'M13 16l6 7M19 16l-6 7'],
};

/** The picture of a step of the hand or of a danger. */
export function StepPicture({ of, size = 40 }) {
  return html`<svg
    class=${`step-picture step-${of}`}
    width=${size}
    height=${size}
    viewBox="0 0 32 32"
    aria-hidden="true"
  >
    ${STEPS[of].map((d) => html`<path d=${d} />`)}
  </svg>`;
}
