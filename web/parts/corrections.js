// Corrections of what waits at a station: recount, send back, split a lot. Each is a form
// that gives one order. <${Recount} app=${app} stationId="slice" product="pears-qt" onDone=${close}
// />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { decimal } from '../core/format.js';
import { entriesOf, mayHold, stationsBefore, stepAt } from '../core/flow.js';
import { idFrom } from '../core/protocol.js';
import { AmountField, ChoiceField, TextField } from './fields.js';
import { OrderForm } from './order-form.js';

const nameOf = (map, id) => map?.[id]?.name ?? id;
const measureWord = (measure) => t(`measure-name.${measure}`);

/** Lots waiting of a product at a station, as choices. */
function lotChoices(view, stationId, product) {
  return entriesOf(view.stations[stationId].waiting?.[product]?.lots).map(([lot, amount]) => [
    lot,
    `${nameOf(view.lots, lot)} (${decimal(amount)})`,
  ]);
}

/** So much is really there. */
export function Recount({ app, stationId, product, onDone }) {
  const { view } = app;
  const step = stepAt(view, product, stationId);
  const known = lotChoices(view, stationId, product);
  const lots = known.length
    ? known
    : entriesOf(view.lots)
        .filter(([, lot]) => mayHold(view.products[product] ?? {}, lot.produce))
        .map(([id, lot]) => [id, lot.name]);
  const [lot, setLot] = useState(lots[0]?.[0]);
  const [amount, setAmount] = useState(undefined);
  const build = () => {
    if (!lot) return t('recount.say-lot');
    if (amount == null) return t('field.amount-missing');
    return { order: 'recount', station: stationId, product, lot, amount };
  };
  return html`<${OrderForm} app=${app} button=${t('recount.do')} build=${build} onDone=${onDone}>
    <${ChoiceField} label=${t('word.lot')} value=${lot} onValue=${setLot} options=${lots} />
    <${AmountField}
      label=${t('recount.really', { measure: measureWord(step?.measure ?? 'lb') })}
      measure=${step?.measure}
      value=${amount}
      onValue=${setAmount}
  /><//>`;
}

/** Back to an earlier station, with the reason. */
export function SendBack({ app, stationId, product, onDone }) {
  const { view } = app;
  const step = stepAt(view, product, stationId);
  const before = stationsBefore(view, product, stationId).reverse();
  const [to, setTo] = useState(before[0]);
  const [amount, setAmount] = useState(step?.carrier.holds);
  const [reason, setReason] = useState('');
  const [becomes, setBecomes] = useState(undefined);
  const target = to && stepAt(view, product, to);
  const unlike = target && target.measure !== step?.measure;
  if (!before.length) return html`<p class="soft">${t('send-back.first')}</p>`;
  const build = () => {
    if (!amount) return t('field.amount-missing');
    if (!reason.trim()) return t('send-back.say-why');
    return {
      order: 'send-back',
      station: stationId,
      product,
      amount,
      to,
      reason: reason.trim(),
      ...(unlike && becomes && { becomes }),
    };
  };
  return html`<${OrderForm} app=${app} button=${t('send-back.do')} build=${build} onDone=${onDone}>
    <${ChoiceField}
      label=${t('send-back.to')}
      value=${to}
      onValue=${setTo}
      options=${before.map((id) => [id, nameOf(view.stations, id)])} />
    <${AmountField}
      label=${t('field.amount-in', { measure: measureWord(step?.measure ?? 'lb') })}
      measure=${step?.measure}
      value=${amount}
      onValue=${setAmount} />
    ${unlike &&
      html`<${AmountField} label=${t('field.becomes', { measure: measureWord(target.measure) })}
        measure=${target.measure} value=${becomes} onValue=${setBecomes} />`}
    <${TextField} label=${t('send-back.why')} value=${reason} onValue=${setReason} maxlength="80"
  /><//>`;
}

/** Part of a lot gets a name of its own. */
export function SplitLot({ app, stationId, product, onDone }) {
  const { view } = app;
  const lots = stationId
    ? lotChoices(view, stationId, product)
    : entriesOf(view.lots).map(([id, one]) => [id, `${one.name} (${decimal(one.unopened)})`]);
  const [lot, setLot] = useState(lots[0]?.[0]);
  const [name, setName] = useState('');
  const [amount, setAmount] = useState(undefined);
  const build = () => {
    if (!name.trim()) return t('field.name-missing');
    if (!amount) return t('field.amount-missing');
    return {
      order: 'split-lot',
      lot,
      new_lot: idFrom(name, Object.keys(view.lots ?? {}), 'lot'),
      name: name.trim(),
      amount,
      ...(stationId && { waiting_at: { product, station: stationId } }),
    };
  };
  return html`<${OrderForm} app=${app} button=${t('split.do')} build=${build} onDone=${onDone}>
    <${ChoiceField} label=${t('word.lot')} value=${lot} onValue=${setLot} options=${lots} />
    <${TextField} label=${t('split.name')} value=${name} onValue=${setName} maxlength="60" />
    <${AmountField} label=${t('split.amount')} value=${amount} onValue=${setAmount}
  /><//>`;
}
