// One label: what it is, how much, when, until when, its code in letters and as a picture to scan.
// Measured in millimetres. <${Label} day="plums" date="2026-09-12" one=${label} sheet=${sheet} />

import { html } from '../../ui.js';
import { given } from '../../words/words.js';
import { inside, letterSize } from '../../core/label-sheet.js';
import { keepWords, madeWords, packageWords } from './words.js';

const mm = (n) => `${n}mm`;

/** The lines of a label from above: `[{name, text, large?}]`. */
export function linesOf(one, date) {
  return [
    { name: 'product', text: given(one.lot.product_name), large: true },
    { name: 'code', text: one.code, large: true },
    { name: 'package', text: `${packageWords(one.lot.package)} · ${given(one.lot.lot_name)}` },
    { name: 'made', text: madeWords(one, date) },
    { name: 'keep', text: keepWords(one) },
  ];
}

/** Where the code of a lot is drawn by the server. */
export const codeAddress = (day, code) => `/api/days/${day}/lots/${code}.svg`;

/** The label in its size; `at` places it on a sheet. */
export function Label({ day, date, one, sheet, at }) {
  const lines = linesOf(one, date);
  const { pad, code } = inside(sheet);
  const size = {
    width: mm(sheet.width),
    height: mm(sheet.height),
    padding: mm(pad),
    gap: mm(pad),
    fontSize: mm(letterSize(sheet, lines)),
    ...(at && { left: mm(at.left), top: mm(at.top) }),
  };
  return html`<div class=${`tag tag-${one.kind} ${sheet.cut ? 'tag-cut' : ''}`} style=${size}>
    <div class="tag-words">
      ${lines.map((line) => html`<p class=${`tag-${line.name}`} key=${line.name}>${line.text}</p>`)}
    </div>
    <img
      src=${codeAddress(day, one.code)}
      alt=""
      style=${{ width: mm(code), height: mm(code) }}
    />
  </div>`;
}
