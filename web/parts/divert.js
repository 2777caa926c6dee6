// Work leaves its route: to another product, to be eaten, or to the scraps. A form that gives one
// order. <${Divert} app=${app} stationId="slice" product="pears-qt" onDone=${close} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf, mayHold, stepAt } from '../core/flow.js';
import { AmountField, ChoiceField, RadioField } from './fields.js';
import { OrderForm } from './order-form.js';

const nameOf = (map, id) => map?.[id]?.name ?? id;
const measureWord = (measure) => t(`measure-name.${measure}`);

const stationChoices = (view, ids) => ids.map((id) => [id, nameOf(view.stations, id)]);

/** Where diverted work may go: products that may hold its produce, then off the routes. */
function destinations(view, product) {
  const { produce } = view.products[product] ?? {};
  const routes = entriesOf(view.products)
    .filter(([id, other]) => id !== product && mayHold(other, produce) && other.route?.length)
    .map(([id, other]) => [`route ${id}`, t('divert.to-product', { product: other.name })]);
  const off = ['fresh', 'refrigerator', 'freezer', 'scraps'].map((as) => [as, t(`divert.${as}`)]);
  return [...routes, ...off];
}

function joinStation(view, productId, from) {
  const stations = (view.products[productId]?.route ?? []).map((step) => step.station);
  return stations.includes(from) ? from : stations[0];
}

/** Work leaves its route: too soft, to be eaten, or thrown away. */
export function Divert({ app, stationId, product, onDone }) {
  const { view } = app;
  const step = stepAt(view, product, stationId);
  const waiting = view.stations[stationId].waiting?.[product];
  const [to, setTo] = useState(undefined);
  const [amount, setAmount] = useState(Math.min(step?.carrier.holds ?? 1000, waiting?.amount ?? 0));
  const [station, setStation] = useState(undefined);
  const [becomes, setBecomes] = useState(undefined);
  const other = to?.startsWith('route ') ? to.slice(6) : null;
  const joins = station ?? (other && joinStation(view, other, stationId));
  const target = other && stepAt(view, other, joins);
  const unlike = target && target.measure !== step?.measure;
  const build = () => {
    if (!to) return t('divert.say-where');
    if (!amount) return t('field.amount-missing');
    const destination = other ? { as: 'route', product: other, station: joins } : { as: to };
    return {
      order: 'divert',
      station: stationId,
      product,
      amount,
      to: destination,
      ...(unlike && becomes && { becomes }),
    };
  };
  return html`<${OrderForm} app=${app} button=${t('divert.do')} build=${build} onDone=${onDone}>
    <${RadioField}
      label=${t('divert.where')}
      name=${`divert-${stationId}-${product}`}
      value=${to}
      onValue=${(one) => {
        setTo(one);
        setStation(undefined);
      }}
      options=${destinations(view, product)}
    />
    ${
      other &&
      html`<${ChoiceField}
        label=${t('divert.joins')}
        value=${joins}
        onValue=${setStation}
        options=${stationChoices(
          view,
          view.products[other].route.map((one) => one.station),
        )}
      />`
    }
    <${AmountField}
      label=${t('field.amount-in', { measure: measureWord(step?.measure ?? 'lb') })}
      measure=${step?.measure}
      value=${amount}
      onValue=${setAmount}
    />
    ${unlike &&
      html`<${AmountField} label=${t('field.becomes', { measure: measureWord(target.measure) })}
        measure=${target.measure} value=${becomes} onValue=${setBecomes} />`}<//
  >`;
}
