// Fruit and supplies: open a box, bring in more, count what is there.
// <${OpenBox} app=${app} />  <${SupplyForms} app=${app} id="lids" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { decimal, measured } from '../core/format.js';
import { entriesOf, productsFor } from '../core/flow.js';
import { AmountField, ChoiceField } from './fields.js';
import { OrderForm } from './order-form.js';

/** A box of a lot joins the first station of a product. */
export function OpenBox({ app, onDone }) {
  const { view } = app;
  const lots = entriesOf(view.lots).filter(([, one]) => one.unopened > 0);
  const [lot, setLot] = useState(lots[0]?.[0]);
  const products = lot && view.lots[lot] ? productsFor(view, view.lots[lot]) : [];
  const [picked, setPicked] = useState(undefined);
  const [amount, setAmount] = useState(undefined);
  const product = products.includes(picked) ? picked : products[0];
  if (!lots.length) return html`<p class="soft">${t('box.none')}</p>`;
  const build = () =>
    product ? { order: 'open-box', lot, product, ...(amount && { amount }) } : t('box.no-product');
  const left = (one) =>
    t('box.left', { name: one.name, amount: measured(one.unopened, one.measure) });
  return html`<${OrderForm} app=${app} button=${t('box.open')} build=${build} onDone=${onDone}>
    <${ChoiceField}
      label=${t('word.lot')}
      value=${lot}
      onValue=${setLot}
      options=${lots.map(([id, one]) => [id, left(one)])} />
    <${ChoiceField}
      label=${t('box.for')}
      value=${product}
      onValue=${setPicked}
      options=${products.map((id) => [id, view.products[id].name])} />
    <${AmountField}
      label=${t('box.amount')}
      measure=${view.lots[lot]?.measure}
      hint=${
        lot && view.lots[lot]
          ? t('box.amount-hint', {
              amount: measured(view.lots[lot].box_holds, view.lots[lot].measure),
            })
          : ''
      }
      value=${amount}
      onValue=${setAmount}
  /><//>`;
}

/** More came in, or so much is really there. */
export function SupplyForms({ app, id }) {
  const supply = app.view.supplies[id];
  const [more, setMore] = useState(undefined);
  const [real, setReal] = useState(undefined);
  const amount = (value, order) =>
    value == null ? t('field.amount-missing') : { order, supply: id, amount: value };
  return html`<p>${t('supply.there', { amount: decimal(supply.stock), unit: supply.unit })}</p>
    <${OrderForm} app=${app} button=${t('supply.restock')} build=${() => amount(more, 'restock')}>
      <${AmountField}
        label=${t('supply.more', { unit: supply.unit })}
        value=${more}
        onValue=${setMore}
    /><//>
    <${OrderForm}
      app=${app}
      button=${t('supply.recount')}
      build=${() => amount(real, 'recount-supply')}
    >
      <${AmountField}
        label=${t('supply.really', { unit: supply.unit })}
        value=${real}
        onValue=${setReal}
    /><//>`;
}
