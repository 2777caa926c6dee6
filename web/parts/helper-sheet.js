// The sheets a helper opens: too soft, we need, chores, something else, break.
// <${HelperSheet} app=${app} sheet="soft" helperId="wren" stationId="wash" onClose=${close}
// onSent=${notice} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Sheet } from './sheet.js';
import { ChoreList } from './chores.js';
import { ClaimList } from './claim.js';
import { Ask } from './hand/ask.js';
import { BreakChoice } from './hand/break.js';
import { TooSoft } from './hand/too-soft.js';

/** The sheet that is open, if one is. */
export function HelperSheet({ app, sheet, helperId, stationId, onClose, onSent, pictures }) {
  if (sheet === 'soft')
    return html`<${Sheet} app=${app} title=${t('helper.too-soft')} onClose=${onClose}
      ><${TooSoft} app=${app} stationId=${stationId} onSent=${onSent} onDone=${onClose}
    /><//>`;
  if (sheet === 'ask')
    return html`<${Sheet} app=${app} title=${t('ask.title')} onClose=${onClose}
      ><${Ask}
        app=${app}
        stationId=${stationId}
        helperId=${helperId}
        onSent=${onSent}
        onDone=${onClose}
    /><//>`;
  if (sheet === 'break')
    return html`<${Sheet} app=${app} title=${t('break.title')} onClose=${onClose}
      ><${BreakChoice} app=${app} helperId=${helperId} onDone=${onClose}
    /><//>`;
  if (sheet === 'move')
    return html`<${Sheet} app=${app} title=${t('claim.title')} onClose=${onClose}
      ><${ClaimList} app=${app} helperId=${helperId} onDone=${onClose} pictures=${pictures}
    /><//>`;
  if (sheet === 'chores')
    return html`<${Sheet} app=${app} title=${t('chore.title')} onClose=${onClose}
      ><${ChoreList} app=${app} helperId=${helperId}
    /><//>`;
  return null;
}
