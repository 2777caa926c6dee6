// What can be put right at a station: its queues, and whether it stands ready.
// <${Corrections} app=${app} stationId="wash" /> <${SetUpForm} app=${app} stationId="wash" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf, productsAt, waitingAt } from '../core/flow.js';
import { isBehindCanner } from '../core/process.js';
import { Fold } from './sheet.js';
import { ChoiceField } from './fields.js';
import { OrderForm } from './order-form.js';
import { Divert } from './divert.js';
import { Recount, SendBack, SplitLot } from './corrections.js';

/** Every correction of what waits, for one product at a time. */
export function Corrections({ app, stationId }) {
  const list = waitingAt(app.view.stations[stationId]);
  const all = productsAt(app.view, stationId);
  const [picked, setProduct] = useState(undefined);
  const product = all.includes(picked) ? picked : (list[0]?.product ?? all[0]);
  const [fresh, setFresh] = useState(0);
  if (!product) return html`<p class="soft">${t('station.no-product')}</p>`;
  if (isBehindCanner(app.view, product, stationId))
    return html`<p class="soft">${t('seals.first')}</p>`;
  const props = {
    app,
    stationId,
    product,
    onDone: () => setFresh(fresh + 1),
    key: `${product}${fresh}`,
  };
  return html`${
      all.length > 1 &&
      html`<${ChoiceField}
        label=${t('word.product')}
        value=${product}
        onValue=${setProduct}
        options=${all.map((id) => [id, app.view.products[id].name])}
      />`
    }
    <${Fold} title=${t('recount.title')}><${Recount} ...${props} /><//>
    <${Fold} title=${t('divert.title')}><${Divert} ...${props} /><//>
    <${Fold} title=${t('send-back.title')}><${SendBack} ...${props} /><//>
    <${Fold} title=${t('split.title')}><${SplitLot} ...${props} /><//>`;
}

/** Ready or put away; in the place of another where they share a table. */
export function SetUpForm({ app, stationId }) {
  const station = app.view.stations[stationId];
  const [instead, setInstead] = useState(undefined);
  if (station.set_up) {
    return html`<${OrderForm}
      app=${app}
      button=${t('station.put-away')}
      build=${() => ({ order: 'put-away', station: stationId })}
    />`;
  }
  const others = entriesOf(app.view.stations)
    .filter(([id, one]) => id !== stationId && one.set_up)
    .map(([id, one]) => [id, one.name]);
  return html`<${OrderForm}
    app=${app}
    button=${t('station.set-up')}
    build=${() => ({
      order: 'set-up',
      station: stationId,
      ...(instead && { instead_of: instead }),
    })}
  >
    <${ChoiceField}
      label=${t('station.instead')}
      value=${instead}
      onValue=${setInstead}
      options=${others}
      empty=${t('station.instead-none')}
  /><//>`;
}
