// Lifting a load: how many broke, and what becomes of jars whose time was not full.
// <${LiftLoad} app=${app} id=${loadId} load=${load} helper="maren" />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { OrderForm } from '../order-form.js';
import { RadioField } from '../fields.js';
import { Stepper } from '../stepper.js';

const FATES = ['refrigerate', 'freeze', 'reprocess'];

/** The form; a fate is asked only when the process was not full. */
export function LiftLoad({ app, id, load, helper }) {
  const [broken, setBroken] = useState({});
  const [fate, setFate] = useState(undefined);
  const lots = entriesOf(load.jars).flatMap(([product, byLot]) =>
    Object.entries(byLot).map(([lot, jars]) => ({ product, lot, jars, key: `${product}/${lot}` })),
  );
  const build = () => {
    if (load.short && !fate) return t('load.say-fate');
    const lost = lots
      .filter(({ key }) => broken[key] > 0)
      .map(({ product, lot, key }) => ({ product, lot, jars: broken[key] }));
    return {
      order: 'lift-load',
      load: id,
      ...(helper && { helper }),
      ...(lost.length && { broken: lost }),
      ...(load.short && { fate }),
    };
  };
  return html`<${OrderForm} app=${app} button=${t('load.lift')} build=${build}>
    ${lots.map(
      ({ product, lot, jars, key }) =>
        html`<${Stepper}
          key=${key}
          most=${jars}
          value=${broken[key] ?? 0}
          label=${t('load.broken', { product: app.view.products[product]?.name ?? product })}
          sub=${app.view.lots?.[lot]?.name}
          onValue=${(n) => setBroken({ ...broken, [key]: n })}
        />`,
    )}
    ${
      load.short &&
      html`<${RadioField}
        label=${t('load.fate')}
        name=${`fate-${id}`}
        value=${fate}
        onValue=${setFate}
        options=${FATES.map((one) => [one, t(`fate.${one}`)])}
      />`
    }<//
  >`;
}
