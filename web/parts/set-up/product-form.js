// The form of a product: what it is made of, what it ends in, and its route.

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { ChoiceField, TextField, WholeField } from '../fields.js';
import { JARS } from './nature-form.js';
import { RouteForm, MEASURES } from './route-form.js';

const ENDINGS = ['canned', 'frozen', 'fresh', 'stocked', 'shared'];

/** An ending with its usual members. */
function endingOf(as, produce) {
  if (as === 'canned') return { as, food: produce ?? '', pack: 'hot', jar: 'quart' };
  if (as === 'frozen') return { as, package: 'bag' };
  if (as === 'fresh') return { as, package: 'lb' };
  if (as === 'stocked') return { as, supply: '', package: 'jar' };
  return { as };
}

function Ending({ app, plan, onPlan }) {
  const ending = plan.ends_in;
  const set = (member) => (value) => onPlan({ ...plan, ends_in: { ...ending, [member]: value } });
  const measures = MEASURES.map((one) => [one, t(`measure-name.${one}`)]);
  return html`<div class="pair">
    <${ChoiceField}
      label=${t('product.ends-in')}
      value=${ending.as}
      onValue=${(as) => onPlan({ ...plan, ends_in: endingOf(as, plan.produce) })}
      options=${ENDINGS.map((one) => [one, t(`ending.${one}`)])}
    />
    ${
      ending.as === 'canned' &&
      html`<${TextField}
          label=${t('product.food')}
          hint=${t('product.food-hint')}
          value=${ending.food}
          onValue=${set('food')}
          list="foods"
        />
        <${ChoiceField}
          label=${t('product.pack')}
          value=${ending.pack}
          onValue=${set('pack')}
          options=${['hot', 'raw'].map((one) => [one, t(`pack.${one}`)])}
        />
        <${ChoiceField}
          label=${t('product.jar')}
          value=${ending.jar}
          onValue=${set('jar')}
          options=${JARS.map((one) => [one, t(`jar-name.${one}`)])}
        />`
    }
    ${
      ending.as === 'stocked' &&
      html`<${ChoiceField}
        label=${t('word.supply')}
        value=${ending.supply}
        onValue=${set('supply')}
        options=${entriesOf(app.view.supplies).map(([id, one]) => [id, one.name])}
        empty=${t('choose')}
      />`
    }
    ${'package' in ending &&
      html`<${ChoiceField} label=${t('product.package')} value=${ending.package}
        onValue=${set('package')} options=${measures} />`}
  </div>`;
}

/** Foods with a tested process that this server has spoken of so far, for filling in. */
function foodsOf(app) {
  const products = [
    ...entriesOf(app.view.products).map(([, one]) => one),
    ...entriesOf(app.kitchens).flatMap(([, one]) =>
      entriesOf(one.plan?.products).map(([, product]) => product),
    ),
  ];
  const foods = products.map((one) => one.ends_in?.food).filter(Boolean);
  return [...new Set([...foods, ...(app.foods ?? [])])].sort();
}

/** Edits the plan of a product. */
export function ProductForm({ app, plan, onPlan, own }) {
  const set = (member) => (value) => onPlan({ ...plan, [member]: value });
  const produces = [
    ...new Set(
      [...entriesOf(app.view.lots), ...entriesOf(app.view.products)].map(([, one]) => one.produce),
    ),
  ];
  // What is typed stays as typed; the plan gets the words in it.
  const [typed, setTyped] = useState((plan.also_of ?? []).join(', '));
  const alsoOf = (text) => {
    setTyped(text);
    const others = text.split(',').map((one) => one.trim());
    onPlan({ ...plan, also_of: others.filter(Boolean) });
  };
  const wanted = (n) => {
    const { wanted: gone, ...rest } = plan;
    onPlan(n > 0 ? { ...plan, wanted: n * 1000 } : rest);
  };
  return html`<datalist id="foods">
      ${foodsOf(app).map((one) => html`<option value=${one}></option>`)}
    </datalist>
    <datalist id="produces">
      ${produces.map((one) => html`<option value=${one}></option>`)}
    </datalist>
    <div class="pair">
      <${TextField}
        label=${t('field.name')}
        hint=${t('product.name-hint')}
        value=${plan.name}
        onValue=${set('name')}
        maxlength="60"
      />
      <${TextField}
        label=${t('field.produce')}
        hint=${t('product.produce-hint')}
        value=${plan.produce}
        onValue=${set('produce')}
        maxlength="40"
        list="produces"
      />
      <${TextField}
        label=${t('product.also-of')}
        hint=${t('product.also-of-hint')}
        value=${typed}
        onValue=${alsoOf}
        maxlength="200"
        list="produces"
      />
      <${WholeField}
        label=${t('product.wanted')}
        hint=${t('product.wanted-hint')}
        value=${plan.wanted === undefined ? undefined : plan.wanted / 1000}
        onValue=${wanted}
      />
    </div>
    <${Ending} app=${app} plan=${plan} onPlan=${onPlan} />
    <${RouteForm}
      app=${app}
      route=${plan.route}
      onRoute=${set('route')}
      own=${own}
      ends=${plan.ends_in}
    />`;
}
