// The form of a product: what it is made of, what it ends in, and its route.

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { TextField, WholeField } from '../fields.js';
import { Ending } from './ending-form.js';
import { RouteForm } from './route-form.js';

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
  return html`<datalist id="produces">
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
