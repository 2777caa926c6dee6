// The sheet the labels are printed on: one of a few by their measures, or one's own, in millimetres.
// <${SheetForm} sheet=${sheet} onSheet=${set} used=${0} onUsed=${set} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { decimal } from '../../core/format.js';
import { MEASURES, PAPERS, SHEETS, millimetres, placeOn } from '../../core/label-sheet.js';
import { ChoiceField, TextField, WholeField } from '../fields.js';

const shown = (n) => (Number.isFinite(n) ? decimal(Math.round(n * 1000)) : '');
const same = (a, b) => [...MEASURES, 'paper', 'cut'].every((name) => a[name] === b[name]);

function presetWords(one) {
  return t(one.cut ? 'tags.preset-cut' : 'tags.preset-one', {
    ...one,
    width: shown(one.width),
    height: shown(one.height),
    paper: t(`tags.paper-short.${one.paper}`),
  });
}

/** How the labels lie on the paper, small, with the places that are gone. */
export function Sketch({ sheet, used }) {
  const [width, height] = PAPERS[sheet.paper];
  const places = Array.from({ length: sheet.columns * sheet.rows }, (_, at) => at);
  return html`<svg
    class="tag-sketch"
    viewBox=${`-1 -1 ${width + 2} ${height + 2}`}
    role="img"
    aria-label=${t('tags.sketch')}
  >
    <rect class="tag-paper" x="0" y="0" width=${width} height=${height} />
    ${places.map((at) => {
      const { left, top } = placeOn(sheet, at);
      return html`<rect
        key=${at}
        class=${at < used ? 'tag-gone' : 'tag-place'}
        x=${left}
        y=${top}
        width=${sheet.width}
        height=${sheet.height}
      />`;
    })}
  </svg>`;
}

function Measure({ sheet, name, onSheet }) {
  const count = name === 'columns' || name === 'rows';
  const [text, setText] = useState(shown(sheet[name]));
  const change = (typed) => {
    setText(typed);
    const read = millimetres(typed);
    onSheet({ ...sheet, [name]: count && !Number.isInteger(read) ? NaN : read });
  };
  return html`<${TextField}
    label=${t(`tags.mm.${name}`)}
    value=${text}
    inputmode=${count ? 'numeric' : 'decimal'}
    aria-invalid=${Number.isFinite(sheet[name]) ? 'false' : 'true'}
    onValue=${change}
  />`;
}

/** The choice and the measures. */
export function SheetForm({ sheet, onSheet, used, onUsed }) {
  const known = SHEETS.findIndex((one) => same(one, sheet));
  const [own, setOwn] = useState(known < 0);
  const options = SHEETS.map((one, index) => [String(index), presetWords(one)]);
  const choose = (value) => {
    setOwn(value === 'own');
    if (value !== 'own') onSheet(SHEETS[Number(value)]);
  };
  return html`<div class="order-form">
    <${ChoiceField}
      label=${t('tags.preset')}
      value=${own || known < 0 ? 'own' : String(known)}
      options=${[...options, ['own', t('tags.own')]]}
      onValue=${choose}
    />
    ${
      (own || known < 0) &&
      html`<${ChoiceField}
          label=${t('tags.paper')}
          value=${sheet.paper}
          options=${Object.keys(PAPERS).map((paper) => [paper, t(`tags.paper.${paper}`)])}
          onValue=${(paper) => onSheet({ ...sheet, paper })}
        />
        <div class="tag-measures">
          ${MEASURES.map(
            (name) =>
              html`<${Measure} key=${name} sheet=${sheet} name=${name} onSheet=${onSheet} />`,
          )}
        </div>
        <label class="check">
          <input
            type="checkbox"
            checked=${sheet.cut}
            onChange=${(event) => onSheet({ ...sheet, cut: event.target.checked })}
          /><span>${t('tags.cut')}</span></label
        >`
    }
    <${WholeField} label=${t('tags.used')} value=${used} max=${899} onValue=${(n) => onUsed(n ?? 0)} />
  </div>`;
}
