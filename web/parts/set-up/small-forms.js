// The short forms: shared things, helpers, lots, supplies.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { AmountField, ChecksField, ChoiceField, TextField, WholeField } from '../fields.js';
import { SignChoice } from '../sign-choice.js';
import { NEEDS, WORKS } from './station-form.js';
import { MEASURES } from './route-form.js';

const setter = (plan, onPlan) => (member) => (value) => onPlan({ ...plan, [member]: value });

/** Burners, sink, counter. */
export function ResourceForm({ plan, onPlan }) {
  const set = setter(plan, onPlan);
  return html`<div class="pair">
    <${TextField}
      label=${t('field.name')}
      hint=${t('resource.name-hint')}
      value=${plan.name}
      onValue=${set('name')}
      maxlength="40"
    />
    <${WholeField}
      label=${t('resource.count')}
      value=${plan.count}
      onValue=${set('count')}
      min=${1}
      max=${50}
    />
  </div>`;
}

/** A person with limits and likes. */
export function HelperForm({ app, plan, onPlan, own }) {
  const set = setter(plan, onPlan);
  const used = entriesOf(app.view.helpers)
    .filter(([id]) => id !== own)
    .map(([, one]) => one.sign);
  return html`<div class="pair">
      <${TextField}
        label=${t('field.name')}
        value=${plan.name}
        onValue=${set('name')}
        maxlength="24"
      />
      <${WholeField} label=${t('field.age')} value=${plan.age} onValue=${set('age')} max=${120} />
    </div>
    <${SignChoice} value=${plan.sign} onValue=${set('sign')} used=${used} />
    <${ChecksField}
      label=${t('helper.limits')}
      hint=${t('helper.limits-hint')}
      value=${plan.limits ?? []}
      onValue=${set('limits')}
      options=${NEEDS.map((one) => [one, t(`need.${one}`)])}
    />
    <${ChecksField}
      label=${t('helper.likes')}
      value=${plan.likes ?? []}
      onValue=${set('likes')}
      options=${WORKS.map((one) => [one, t(`work.${one}`)])}
    />
    ${
      !own &&
      html`<label class="check"
        ><input
          type="checkbox"
          checked=${plan.here !== false}
          onChange=${() => set('here')(plan.here === false)}
        />
        <span>${t('helper.here-now')}</span></label
      >`
    }`;
}

const capital = (word) => word.replace(/^./, (first) => first.toUpperCase());

/** Fruit that came in together. */
export function LotForm({ app, plan, onPlan }) {
  const set = setter(plan, onPlan);
  const known = [...new Set(entriesOf(app.view.products).map(([, one]) => one.produce))];
  const measure = t(`measure-name.${plan.measure}`);
  return html`<div class="pair">
    <${TextField}
      label=${t('field.name')}
      hint=${t('lot.name-hint')}
      value=${plan.name}
      onValue=${set('name')}
      maxlength="60"
    />
    <div class="lot-produce">
      <${TextField}
        label=${t('field.produce')}
        hint=${t('lot.produce-hint')}
        value=${plan.produce}
        onValue=${set('produce')}
        maxlength="40"
      />
      <div class="links" role="group" aria-label=${t('lot.produce-known')}>
        ${known.map(
          (one) =>
            html`<button
              type="button"
              class="button"
              key=${one}
              aria-pressed=${plan.produce === one ? 'true' : 'false'}
              onClick=${() => onPlan({ ...plan, produce: one, name: plan.name || capital(one) })}
            >
              ${one}
            </button>`,
        )}
      </div>
    </div>
    <${ChoiceField}
      label=${t('step.measure')}
      value=${plan.measure}
      onValue=${set('measure')}
      options=${MEASURES.map((one) => [one, t(`measure-name.${one}`)])}
    />
    <${AmountField}
      label=${t('lot.amount', { measure })}
      value=${plan.amount}
      onValue=${set('amount')}
    />
    <${AmountField}
      label=${t('lot.box-holds', { measure })}
      value=${plan.box_holds}
      onValue=${set('box_holds')}
    />
  </div>`;
}

/** Jars, lids, bags, acid. */
export function SupplyForm({ plan, onPlan, own }) {
  const set = setter(plan, onPlan);
  return html`<div class="pair">
    <${TextField}
      label=${t('field.name')}
      hint=${t('supply.name-hint')}
      value=${plan.name}
      onValue=${set('name')}
      maxlength="60"
    />
    <${TextField}
      label=${t('supply.unit')}
      value=${plan.unit}
      onValue=${set('unit')}
      maxlength="20"
    />
    ${!own &&
      html`<${AmountField} label=${t('supply.stock')} value=${plan.stock}
        onValue=${set('stock')} />`}
    <${AmountField}
      label=${t('supply.low-at')}
      hint=${t('supply.low-hint')}
      value=${plan.low_at}
      onValue=${set('low_at')}
    />
  </div>`;
}
