// The sheets a helper opens: too soft, we need, chores, change station.
// <${HelperSheet} app=${app} sheet="soft" helperId="wren" stationId="wash" onClose=${close} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { waitingAt } from '../core/flow.js';
import { Sheet } from './sheet.js';
import { Divert } from './divert.js';
import { AskFor, ChoreList } from './chores.js';
import { ClaimList } from './claim.js';

function TooSoft({ app, stationId, onDone }) {
  const list = waitingAt(app.view.stations[stationId]);
  const [product, setProduct] = useState(list[0]?.product);
  if (!product) return html`<p>${t('waiting.none')}</p>`;
  return html`${
      list.length > 1 &&
      html`<div class="choices">
        ${list.map(
          (one) =>
            html`<button
              key=${one.product}
              class="button choice"
              aria-pressed=${one.product === product}
              onClick=${() => setProduct(one.product)}
            >
              ${app.view.products[one.product]?.name}
            </button>`,
        )}
      </div>`
    }
    <${Divert}
      key=${product}
      app=${app}
      stationId=${stationId}
      product=${product}
      onDone=${onDone}
    />`;
}

/** The sheet that is open, if one is. */
export function HelperSheet({ app, sheet, helperId, stationId, onClose }) {
  if (sheet === 'soft')
    return html`<${Sheet} app=${app} title=${t('helper.too-soft')} onClose=${onClose}
      ><${TooSoft} app=${app} stationId=${stationId} onDone=${onClose}
    /><//>`;
  if (sheet === 'ask')
    return html`<${Sheet} app=${app} title=${t('ask.title')} onClose=${onClose}
      ><${AskFor} app=${app} stationId=${stationId} onDone=${onClose}
    /><//>`;
  if (sheet === 'move')
    return html`<${Sheet} app=${app} title=${t('claim.title')} onClose=${onClose}
      ><${ClaimList} app=${app} helperId=${helperId} onDone=${onClose}
    /><//>`;
  if (sheet === 'chores')
    return html`<${Sheet} app=${app} title=${t('chore.title')} onClose=${onClose}
      ><${ChoreList} app=${app} helperId=${helperId}
    /><//>`;
  return null;
}
