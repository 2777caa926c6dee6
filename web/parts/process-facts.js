// What a tested process asks, with its source on tap. Numbers as the tables give them.
// <${ProcessFacts} tested=${tested} by="Pear halves" water=${process} />

import { html } from '../ui.js';
import { given, refusalWords, t } from '../words/words.js';
import { heatWords, heightWords, inchWords, pressureWords } from '../core/figures.js';
import { heatOf } from '../core/process.js';
import { ExactWords } from './problem.js';
import { Fold } from './sheet.js';

/** "25 minutes", "8 minutes at 11 psi". */
export const minutesWords = ({ minutes, psi }) =>
  psi === undefined || psi === null
    ? t('load.minutes', { n: minutes })
    : t('load.minutes-psi', { n: minutes, psi: pressureWords(psi) });

/** Water in the canner when the jars go in, where the view says it. */
export function waterWords(process, method) {
  if (process?.water_f === undefined) return null;
  const depth = process.water_over_lids_in;
  if (heatOf(method) !== 'boil' || depth === undefined)
    return t('load.water', { degrees: heatWords(process.water_f) });
  return t('load.water-over', {
    degrees: heatWords(process.water_f),
    depth: inchWords(depth * 64),
  });
}

/** Publication and section, folded away. */
export function Source({ source, more }) {
  if (!source) return null;
  return html`<${Fold} title=${t('load.source-title')}>
    <p class="soft source">${source}</p>
    ${more && html`<p class="soft source">${more}</p>`}<//
  >`;
}

/** Minutes, pressure, altitude, water, and the source on tap. */
export function ProcessFacts({ tested, by, water }) {
  if (!tested) return null;
  const wet = waterWords(water, tested.method);
  return html`<div class="process">
    <strong>${minutesWords(tested)}</strong>
    <span>
      ${tested.altitude_ft !== undefined && 
      t('load.altitude', { height: heightWords(tested.altitude_ft) })}
      ${by && ` · ${t('load.by', { product: by })}`}
    </span>
    ${wet && html`<span>${wet}</span>`}
    ${tested.acid && html`<span>${t('load.acid', { acid: given(tested.acid) })}</span>`}
    <${Source} source=${tested.source} />
  </div>`;
}

/** Why there is no tested process, and what to do instead. */
export function NoProcess({ refused, children }) {
  const said = refusalWords('no-process');
  return html`<div class="caution caution-danger no-process">
    ${
      said
        ? html`<p>${said.what}</p>
            <p>${said.instead}</p>
            <${ExactWords} problem=${refused} />`
        : html`<p>${refused.detail}</p>
            ${refused.instead && html`<p>${refused.instead}</p>`}`
    }${children}
  </div>`;
}
