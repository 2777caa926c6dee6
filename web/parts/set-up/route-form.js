// The route of a product, stop by stop: where, counted in what, carried how, and what comes out.

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf, stationsInOrder } from '../../core/flow.js';
import { newStep } from '../../core/plan.js';
import { AmountField, ChoiceField, TextField, WholeField } from '../fields.js';
import { Fold } from '../sheet.js';
import { Onward } from './onward-form.js';

export const MEASURES = ['lb', 'kg', 'cup', 'qt', 'l', 'piece', 'jar', 'bag', 'tub'];

const without = (object, member) => {
  const { [member]: gone, ...rest } = object;
  return rest;
};

function Draws({ app, step, onStep }) {
  const supplies = entriesOf(app.view.supplies);
  if (!supplies.length) return null;
  const put = (id) => (amount) =>
    onStep({
      ...step,
      draws: amount > 0 ? { ...step.draws, [id]: amount } : without(step.draws ?? {}, id),
    });
  return html`<fieldset class="field">
    <legend class="field-label">${t('step.draws')}</legend>
    <div class="pair">
      ${supplies.map(([id, one]) =>
        html`<${AmountField} key=${id} label=${one.name} value=${step.draws?.[id]}
          onValue=${put(id)} />`)}
    </div>
  </fieldset>`;
}

function Yields({ step, onStep, next }) {
  const ratio = step.yields ?? { made: 1000, from: 1000 };
  const trims = step.trims_lb ?? { made: 0, from: 1000 };
  const here = t(`measure-name.${step.measure}`);
  const set = (member) => (n) => onStep({ ...step, yields: { ...ratio, [member]: n ?? 0 } });
  return html`<div class="pair">
    <${AmountField}
      label=${t('step.from', { measure: here })}
      value=${ratio.from}
      onValue=${set('from')}
    />
    <${AmountField}
      label=${t('step.made', { measure: next })}
      value=${ratio.made}
      onValue=${set('made')}
    />
    <${AmountField}
      label=${t('step.trims', { measure: here })}
      value=${trims.made}
      onValue=${(n) => onStep({ ...step, trims_lb: { from: ratio.from, made: n ?? 0 } })}
    />
  </div>`;
}

function Step({ app, step, onStep, next, own }) {
  const stations = stationsInOrder(app.view).map((id) => [id, app.view.stations[id].name]);
  const vessel = app.view.stations[step.station]?.nature?.is === 'vessel';
  const carrier = (member) => (value) =>
    onStep({ ...step, carrier: { ...step.carrier, [member]: value } });
  const measure = (value) =>
    onStep({ ...step, measure: value, carrier: newStep('', value).carrier });
  return html`<div class="pair">
      <${ChoiceField}
        label=${t('word.station')}
        value=${step.station}
        options=${stations}
        onValue=${(station) => onStep({ ...step, station })}
      />
      <${ChoiceField}
        label=${t('step.measure')}
        value=${step.measure}
        options=${MEASURES.map((one) => [one, t(`measure-name.${one}`)])}
        onValue=${measure}
      />
      <${TextField}
        label=${t('step.carrier')}
        value=${step.carrier.name}
        onValue=${carrier('name')}
        maxlength="20"
      />
      <${AmountField}
        key=${step.measure}
        label=${t('step.holds', { measure: t(`measure-name.${step.measure}`) })}
        value=${step.carrier.holds}
        onValue=${carrier('holds')}
      />
      ${
        vessel &&
        html`<${WholeField}
          label=${t('step.cook')}
          value=${step.cook_min}
          max=${2880}
          onValue=${(n) => onStep(n ? { ...step, cook_min: n } : without(step, 'cook_min'))}
        />`
      }
    </div>
    <${Yields} step=${step} onStep=${onStep} next=${next} />
    <${Fold} title=${t('step.more')}
      ><${Draws} app=${app} step=${step} onStep=${onStep} />
      <${Onward} app=${app} step=${step} onStep=${onStep} own=${own}
    /><//>`;
}

/** Edits a route. */
export function RouteForm({ app, route, onRoute, own, ends }) {
  const [open, setOpen] = useState(route.length ? -1 : 0);
  const free = stationsInOrder(app.view).filter((id) => !route.some((step) => step.station === id));
  const put = (index) => (step) => onRoute(route.map((one, at) => (at === index ? step : one)));
  const away = (index) => onRoute(route.filter((_, at) => at !== index));
  const up = (index) =>
    onRoute(
      route.map((one, at) =>
        at === index - 1 ? route[index] : at === index ? route[index - 1] : one,
      ),
    );
  const add = () => {
    setOpen(route.length);
    onRoute([...route, newStep(free[0], route.at(-1)?.measure ?? 'lb')]);
  };
  const packages = {
    canned: 'jar',
    frozen: ends.package,
    fresh: ends.package,
    stocked: ends.package,
  };
  const next = (index) =>
    t(`measure-name.${route[index + 1]?.measure ?? packages[ends.as] ?? route[index].measure}`);
  return html`<fieldset class="field">
    <legend class="field-label">${t('product.route')}</legend>
    <p class="hint">${t('product.route-hint')}</p>
    <ol class="route">
      ${route.map(
        (step, index) =>
          html`<li class="part" key=${index}>
            <div class="route-head">
              <b>${index + 1}. ${app.view.stations[step.station]?.name ?? step.station}</b>
              <span class="row"
                ><button
                  type="button"
                  class="button"
                  aria-expanded=${open === index}
                  onClick=${() => setOpen(open === index ? -1 : index)}
                >
                  ${t(open === index ? 'sheet.close' : 'form.change')}
                </button>
                <button
                  type="button"
                  class="button"
                  disabled=${index === 0}
                  onClick=${() => up(index)}
                >
                  ${t('step.earlier')}
                </button>
                <button type="button" class="button" onClick=${() => away(index)}>
                  ${t('step.away')}
                </button></span
              >
            </div>
            ${open === index &&
              html`<${Step} app=${app} step=${step} onStep=${put(index)} next=${next(index)}
                own=${own} />`}
          </li>`,
      )}
    </ol>
    ${free.length > 0 &&
      html`<button type="button" class="button" onClick=${add}>+ ${t('step.add')}</button>`}
  </fieldset>`;
}
