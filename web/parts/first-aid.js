// The usual first cautions when someone is hurt, with own drawings. They defer to trained people and
// say so. Not for who is hurt and who is with them (hurt.js). Twenty minutes of cool running water, no
// ice, rings off: ccbtr.com.au, "Burn first aid". Pressing beside what is stuck: selfinjurysupport.org.uk,
// "First aid for severe bleeding". The rest is common practice.

import { html } from '../ui.js';
import { t } from '../words/words.js';

/** The kinds of hurt a kitchen knows, in the order of the cards. */
export const KINDS = ['burn', 'scald', 'cut', 'fall'];
const LINES = { burn: 4, scald: 4, cut: 4, fall: 3 };

const DRAWN = {
  plaster: ['M7 19L19 7a4.2 4.2 0 0 1 6 6L13 25a4.2 4.2 0 0 1-6-6z', 'M12 14l6 6', 'M16 15v.5M15 17v.5'],
  burn: ['M4 26h24', 'M10 26v-9a3 3 0 0 1 6 0v-3a3 3 0 0 1 6 0v12', 'M12 4c-2 3 2 4 0 7M20 3c-2 3 2 4 0 7'],
  scald: ['M3 22h15v3c0 2-1 3-3 3H6c-2 0-3-1-3-3z', 'M18 23h3', 'M7 18c-2-3 2-4 0-7M13 18c-2-3 2-4 0-7', 'M22 20l7-9M24 22l6-4M20 17l3-9'],
  cut: ['M3 20L20 5c4 4 2 9-4 12z', 'M3 20l4 4 8-7', 'M24 19c3 4 4 5 4 7a4 4 0 0 1-8 0c0-2 1-3 4-7z'],
  fall: ['M12 4a3 3 0 1 0 .1 0z', 'M14 12l6 7 8 1', 'M14 12l-7 4', 'M17 16l-4 9', 'M3 28h26'],
  water: ['M6 8h13v5', 'M10 8V4h6v4', 'M19 17v3M19 23v2', 'M6 28c6-4 14-4 20 0'],
};

/** A drawing of a hurt or of help. */
export function AidPicture({ of, size = 40 }) {
  return html`<svg
    class="aid-picture"
    width=${size}
    height=${size}
    viewBox="0 0 32 32"
    aria-hidden="true"
  >
    ${(DRAWN[of] ?? DRAWN.plaster).map((d) => html`<path d=${d} />`)}
  </svg>`;
}

/** What to do first for a kind of hurt; `onSay` says that it is this kind. */
export function AidCard({ kind, said, onSay }) {
  return html`<article class=${`aid-card ${said ? 'aid-said' : ''}`}>
    <button class="aid-kind" aria-pressed=${said ? 'true' : 'false'} onClick=${onSay}>
      <${AidPicture} of=${kind} size="52" /><span>${t(`hurt.kind.${kind}`)}</span>
    </button>
    <ol>
      ${Array.from({ length: LINES[kind] }, (_, n) => html`<li>${t(`aid.${kind}.${n + 1}`)}</li>`)}
    </ol>
  </article>`;
}
