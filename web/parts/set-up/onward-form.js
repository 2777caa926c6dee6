// Where a step's work goes on to when the way splits: shares to stations of other products.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { ChoiceField, WholeField } from '../fields.js';

function places(view, own) {
  return entriesOf(view.products).flatMap(([id, product]) =>
    (product.route ?? []).map((step) => [
      `${id} ${step.station}`,
      t('step.way', {
        product: id === own ? t('step.this-product') : product.name,
        station: view.stations[step.station]?.name ?? step.station,
      }),
    ]),
  );
}

/** Edits the branches of a step; none means the next step of the route. */
export function Onward({ app, step, onStep, own }) {
  const branches = step.onward ?? [];
  const options = places(app.view, own);
  const set = (onward) => onStep({ ...step, onward });
  const change = (index, more) =>
    set(branches.map((one, at) => (at === index ? { ...one, ...more } : one)));
  const to = (index) => (value) => {
    const [product, station] = value.split(' ');
    change(index, { product, station });
  };
  const add = () => {
    const [product, station] = options[0][0].split(' ');
    set([...branches, { product, station, weight: 1 }]);
  };
  return html`<fieldset class="field">
    <legend class="field-label">${t('step.onward')}</legend>
    <p class="hint">${t('step.onward-hint')}</p>
    ${branches.map(
      (branch, index) =>
        html`<div class="pair" key=${index}>
          <${ChoiceField}
            label=${t('step.goes-to')}
            value=${`${branch.product} ${branch.station}`}
            options=${options}
            onValue=${to(index)}
          />
          <${WholeField}
            label=${t('step.share')}
            value=${branch.weight}
            min=${1}
            max=${100}
            onValue=${(weight) => change(index, { weight: weight ?? 1 })}
          />
          <button
            type="button"
            class="button"
            onClick=${() => set(branches.filter((_, at) => at !== index))}
          >
            ${t('step.away')}
          </button>
        </div>`,
    )}
    ${options.length > 0 &&
      html`<button type="button" class="button" onClick=${add}>+ ${t('step.way-add')}</button>`}
  </fieldset>`;
}
