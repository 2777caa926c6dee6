// How a seal is tested, what a failed jar may become, and what is thrown away untasted.
// <${SealHow} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { Fold } from '../sheet.js';
import { Mark, StepPicture } from '../pictures.js';

/** Press, look, tap. */
export function SealHow() {
  return html`<section class="seal-how" aria-label=${t('seals.how')}>
    <h2>${t('seals.how')}</h2>
    <ol class="fill-facts">
      ${['press', 'look', 'tap'].map(
        (how) =>
          html`<li class="fill-fact" key=${how}>
            <${StepPicture} of=${how} size="40" /><span
              ><b>${t(`seals.${how}`)}</b> ${t(`seals.${how}-how`)}</span
            >
          </li>`,
      )}
    </ol>
    <p class="caution caution-danger"><${Mark} of="danger" />${t('seals.never-taste')}</p>
    <p class="soft">${t('seals.signs')}</p>
    <${Fold} title=${t('seals.more')}>
      <p>${t('seals.bands')}</p>
      <p>${t('seals.dispose')}</p>
      <p class="soft source">${t('seals.source')}</p>
    <//>
  </section>`;
}
