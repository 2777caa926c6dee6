// How much room a freezer package needs for the ice, as published.
// <${FreezeHow} freezing=${product.freezing} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { inchWords } from '../../core/figures.js';
import { StepPicture } from '../pictures.js';
import { Source } from '../process-facts.js';

const room = (freezing, mouth) =>
  t(`freeze.${mouth}`, {
    pint: inchWords(freezing.liquid[mouth].pint),
    quart: inchWords(freezing.liquid[mouth].quart),
  });

/** Headspace for liquid packs by mouth and size, and for dry packs. */
export function FreezeHow({ freezing }) {
  const dry = t('freeze.dry', { in: inchWords(freezing.dry) });
  return html`<section class="fill-steps">
    <p class="fill-fact">
      <${StepPicture} of="headspace" size="40" />
      <span
        ><b>${t('freeze.title')}</b> ${room(freezing, 'wide')} ${room(freezing, 'narrow')} ${dry}</span
      >
    </p>
    <${Source} source=${freezing.source} />
  </section>`;
}
