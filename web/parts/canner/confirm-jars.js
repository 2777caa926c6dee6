// Saying of the jars that wait at a canner that the acid is in or that they were sterilised, where
// their tested process asks for it.
// <${ConfirmJars} app=${app} stationId="canners" helperId="osk" />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { unconfirmedAt } from '../../core/process.js';
import { OrderForm } from '../order-form.js';

const whole = (amount) => Math.floor(amount / 1000);

function Check({ checked, onFlip, words, how }) {
  return html`<label class="check radio"
    ><input type="checkbox" checked=${checked} onChange=${onFlip} />
    <span>${words}<small>${how}</small></span></label
  >`;
}

function Confirm({ app, helperId, asked: { product, acid, sterile } }) {
  const [said, setSaid] = useState({});
  const { name, process } = app.view.products[product];
  const flip = (what) => () => setSaid({ ...said, [what]: !said[what] });
  const build = () => {
    const both = {
      acid: acid > 0 && Boolean(said.acid),
      sterile: sterile > 0 && Boolean(said.sterile),
    };
    if (!both.acid && !both.sterile) return t('confirm.say');
    return { order: 'confirm-jars', product, ...both, ...(helperId && { helper: helperId }) };
  };
  return html`<section class="confirm" aria-label=${t('confirm.title', { product: name })}>
    <h3>${t('confirm.title', { product: name })}</h3>
    <${OrderForm} app=${app} button=${t('confirm.do')} build=${build}>
      ${
        acid > 0 &&
        html`<${Check}
          checked=${Boolean(said.acid)}
          onFlip=${flip('acid')}
          words=${t('confirm.acid', { n: whole(acid), acid: process?.tested?.acid ?? '' })}
          how=${t('confirm.acid-not')}
        />`
      }
      ${
        sterile > 0 &&
        html`<${Check}
          checked=${Boolean(said.sterile)}
          onFlip=${flip('sterile')}
          words=${t('confirm.sterile', { n: whole(sterile) })}
          how=${t('confirm.sterile-not')}
        />`
      }<//
    >
  </section>`;
}

/** One form for each product that still needs a word. */
export function ConfirmJars({ app, stationId, helperId }) {
  return unconfirmedAt(app.view, stationId).map(
    (asked) =>
      html`<${Confirm}
        key=${`${asked.product} ${asked.acid > 0} ${asked.sterile > 0}`}
        app=${app}
        helperId=${helperId}
        asked=${asked}
      />`,
  );
}
