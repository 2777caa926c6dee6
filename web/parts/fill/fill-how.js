// How a jar of a product is filled, by its tested process: above the button what differs from
// product to product, under it what holds for every jar.
// <${FillFacts} app=${app} product="pears-qt" /> <${FillSteps} app=${app} product="pears-qt" />

import { html } from '../../ui.js';
import { given, t } from '../../words/words.js';
import { inchWords } from '../../core/figures.js';
import { Mark, StepPicture } from '../pictures.js';
import { NoProcess, Source } from '../process-facts.js';

/** Juice goes into the empty jar; other acid goes in as the recipe says. */
const isBottled = (acid) => acid.includes('bottled');

function Fact({ picture, title, children }) {
  return html`<li class="fill-fact">
    <${StepPicture} of=${picture} size="40" /><span><b>${title}</b> ${children}</span>
  </li>`;
}

/** Headspace, acid, sterilised jars; or why this must not be filled for the shelf. */
export function FillFacts({ app, product }) {
  const { name, process } = app.view.products[product];
  if (!process) {
    return html`<p class="caution"><${Mark} of="warn" />${t('fill.no-altitude')}</p>`;
  }
  if (process.refused) {
    return html`<${NoProcess} refused=${process.refused}
      ><p>${t('fill.no-process', { product: name })}</p><//
    >`;
  }
  const { tested } = process;
  return html`<ul class="fill-facts" aria-label=${t('fill.title', { product: name })}>
    <${Fact}
      picture="headspace"
      title=${t('fill.headspace', { in: inchWords(tested.headspace_64ths) })}
      >${t('fill.headspace-how')}<//
    >
    ${
      tested.acid &&
      html`<${Fact} picture="acid" title=${t('fill.acid', { acid: given(tested.acid) })}
        >${t(isBottled(tested.acid) ? 'fill.acid-how' : 'fill.acid-recipe')}<//
      >`
    }
    ${
      tested.sterilise_jars &&
      html`<${Fact} picture="sterilise" title=${t('fill.sterilise')}>${t('fill.sterilise-how')}<//>`
    }
  </ul>`;
}

/** What holds for every jar, in the order of the hand, with the sources on tap. */
export function FillSteps({ app, product }) {
  const { process, ends_in: ending } = app.view.products[product];
  if (!process?.tested) return null;
  return html`<section class="fill-steps">
    <ol>
      <li>${t(`fill.step.pack-${ending.pack}`)}</li>
      ${['bubbles', 'rim', 'band'].map(
        (step) => html`<li key=${step}>${t(`fill.step.${step}`)}</li>`,
      )}
    </ol>
    <${Source} source=${process.tested.source} more=${t('fill.source')} />
  </section>`;
}
