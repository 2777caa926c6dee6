// Throwing away what is in a pot, scorched or spoilt, with the reason.
// <${ScrapPot} app=${app} where=${{ station, pot, helper }} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { TextField } from './fields.js';
import { Fold } from './sheet.js';
import { OrderForm } from './order-form.js';

/** The form, folded away until it is needed. */
export function ScrapPot({ app, where }) {
  const [reason, setReason] = useState('');
  const build = () => {
    if (!reason.trim()) return t('send-back.say-why');
    const { station, pot, helper } = where;
    return { order: 'scrap-pot', station, pot, ...(helper && { helper }), reason: reason.trim() };
  };
  return html`<${Fold} title=${t('pot.scrap')}>
    <${OrderForm} app=${app} danger=${true} button=${t('pot.scrap-yes')} build=${build}>
      <${TextField}
        label=${t('send-back.why')}
        hint=${t('pot.scrap-hint')}
        value=${reason}
        onValue=${setReason}
        maxlength="80"
      />
    <//>
  <//>`;
}
