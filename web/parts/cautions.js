// What to mind at a station, in words. <${Cautions} station=${station} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Mark } from './pictures.js';

/** The cautions of a station's needs and work, in words. */
export function Cautions({ station }) {
  const list = (station.needs ?? []).filter((need) => need !== 'adult-beside');
  if (!list.length) return null;
  return html`<ul class="cautions">
    ${list.map(
      (need) => html`<li key=${need}><${Mark} of="warn" size="18" />${t(`caution.${need}`)}</li>`,
    )}
  </ul>`;
}
