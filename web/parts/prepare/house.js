// What is in the house: jars, bags and lids, canners, pots, the freezer, people, the hours.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { measured } from '../../core/format.js';
import { freeId } from '../../core/prepare.js';
import { AmountField, ChoiceField, Field, TextField, WholeField } from '../fields.js';
import { AltitudeField } from '../set-up/day-form.js';
import { packageName } from './words.js';
import { Part, Rows } from './rows.js';

const JARS = ['half-pint', 'pint', 'quart', 'half-gallon'];
const METHODS = ['boiling-water', 'steam', 'pressure-dial', 'pressure-weighted'];

const whole = (amount) => (amount === undefined ? undefined : amount / 1000);
const thousandths = (n) => (n === undefined ? undefined : n * 1000);

function StockFields({ path, stock, onPut }) {
  return ['have', 'more'].map(
    (field) =>
      html`<${WholeField}
        key=${field}
        label=${t(field === 'have' ? 'prepare.have' : 'prepare.may-buy')}
        max="2000"
        value=${whole(stock?.[field])}
        onValue=${(n) => onPut([...path, field], thousandths(n))}
      />`,
  );
}

function PackageRow({ id, one, onPut }) {
  const { container } = one;
  return html`<div class="pair">
    ${
      container.is === 'jar'
        ? html`<${ChoiceField}
            label=${t('prepare.size')}
            value=${container.jar}
            options=${JARS.map((jar) => [jar, t(`prepare.jar.${jar}`, { n: 2 })])}
            onValue=${(jar) => onPut(['packages', id, 'container', 'jar'], jar)}
          />`
        : html`<${AmountField}
            label=${t('prepare.holds-cups')}
            hint=${t('prepare.holds-cups-hint')}
            value=${container.holds === undefined ? undefined : container.holds * 4}
            onValue=${(cups) =>
              onPut(['packages', id, 'container', 'holds'], cups ? Math.floor(cups / 4) : undefined)}
          />`
    }
    <${StockFields} path=${['packages', id, 'stock']} stock=${one.stock} onPut=${onPut} />
  </div>`;
}

/** Jars, bags, tubs and lids. */
export function Packages({ ask, onPut }) {
  const add = (stem, container) =>
    onPut(['packages', freeId(ask.packages, stem)], { container, stock: {} });
  return html`<${Part} title=${t('prepare.packages')} open=${false}>
    <${Rows}
      map=${ask.packages}
      title=${(one) => packageName(one.container)}
      note=${(one) => t('prepare.in-house', { n: whole(one.stock?.have ?? 0) })}
      row=${(id, one) => html`<${PackageRow} id=${id} one=${one} onPut=${onPut} />`}
      add=${t('prepare.add-jar')}
      onAdd=${() => add('jars', { is: 'jar', jar: 'quart' })}
      onRemove=${(id) => onPut(['packages', id], undefined)}
    />
    <div class="row">
      <button type="button" class="button" onClick=${() => add('bags', { is: 'bag', holds: 1000 })}>
        ${t('prepare.add-bag')}
      </button>
      <button type="button" class="button" onClick=${() => add('tubs', { is: 'tub', holds: 500 })}>
        ${t('prepare.add-tub')}
      </button>
    </div>
    <fieldset class="field">
      <legend class="field-label">${t('prepare.lids')}</legend>
      <div class="pair"><${StockFields} path=${['lids']} stock=${ask.lids} onPut=${onPut} /></div>
    </fieldset>
  <//>`;
}

function CannerRow({ id, one, onPut }) {
  const at = ['kitchen', 'canners', id];
  return html`<div class="pair">
    <${TextField}
      label=${t('prepare.called')}
      value=${one.name}
      maxlength="60"
      onValue=${(text) => onPut([...at, 'name'], text)}
    />
    <${ChoiceField}
      label=${t('prepare.method')}
      value=${one.method}
      options=${METHODS.map((method) => [method, t(`prepare.method.${method}`)])}
      onValue=${(method) => onPut([...at, 'method'], method)}
    />
    ${JARS.slice(0, 3).map(
      (jar) =>
        html`<${WholeField}
          key=${jar}
          label=${t('prepare.jars-in-load', { jars: t(`prepare.jar.${jar}`, { n: 2 }) })}
          max="40"
          value=${one.holds[jar]}
          onValue=${(n) => onPut([...at, 'holds', jar], n || undefined)}
        />`,
    )}
  </div>`;
}

/** Canners, pots, burners, the freezer. */
export function KitchenThere({ ask, onPut }) {
  const { kitchen, freezer } = ask;
  return html`<${Part} title=${t('prepare.kitchen')} open=${ask.altitude_ft === undefined}>
    <${AltitudeField} value=${ask.altitude_ft} onValue=${(feet) => onPut(['altitude_ft'], feet)} />
    <div class="pair">
      <${WholeField}
        label=${t('prepare.burners')}
        max="20"
        value=${kitchen.burners}
        onValue=${(n) => onPut(['kitchen', 'burners'], n ?? 0)}
      />
      <${AmountField}
        label=${t('prepare.freezer')}
        hint=${t('prepare.freezer-hint')}
        value=${freezer?.cubic_ft}
        onValue=${(feet) => onPut(['freezer'], feet ? { ...freezer, cubic_ft: feet } : undefined)}
      />
      ${
        freezer &&
        html`<${AmountField}
          label=${t('prepare.freezer-free')}
          value=${freezer.free_cubic_ft}
          onValue=${(feet) => onPut(['freezer', 'free_cubic_ft'], feet ?? undefined)}
        />`
      }
    </div>
    <${Rows}
      map=${kitchen.canners}
      title=${(one, n) => one.name?.trim() || t('prepare.canner', { n })}
      note=${(one) => t(`prepare.method.${one.method}`)}
      row=${(id, one) => html`<${CannerRow} id=${id} one=${one} onPut=${onPut} />`}
      add=${t('prepare.add-canner')}
      onAdd=${() =>
        onPut(['kitchen', 'canners', freeId(kitchen.canners, 'canner')], {
          name: '',
          method: 'boiling-water',
          holds: { 'half-pint': 9, pint: 9, quart: 7 },
        })}
      onRemove=${(id) => onPut(['kitchen', 'canners', id], undefined)}
    />
    <${Rows}
      map=${kitchen.pots}
      title=${(one, n) => one.name?.trim() || t('prepare.pot', { n })}
      note=${(one) => (one.quarts ? measured(one.quarts, 'qt') : null)}
      row=${(id, one) =>
        html`<div class="pair">
          <${TextField}
            label=${t('prepare.called')}
            value=${one.name}
            maxlength="60"
            onValue=${(text) => onPut(['kitchen', 'pots', id, 'name'], text)}
          />
          <${AmountField}
            label=${t('prepare.pot-quarts')}
            value=${one.quarts}
            onValue=${(quarts) => onPut(['kitchen', 'pots', id, 'quarts'], quarts ?? undefined)}
          />
        </div>`}
      add=${t('prepare.add-pot')}
      onAdd=${() => onPut(['kitchen', 'pots', freeId(kitchen.pots, 'pot')], { name: '', quarts: 12000 })}
      onRemove=${(id) => onPut(['kitchen', 'pots', id], undefined)}
    />
  <//>`;
}

/** Who comes, and when. */
export function PeopleThere({ draft, onPut, onDraft }) {
  const { ask } = draft;
  return html`<${Part} title=${t('prepare.people')} open=${false}>
    <div class="pair">
      <${TextField}
        label=${t('begin.name')}
        value=${ask.name}
        maxlength="60"
        onValue=${(text) => onPut(['name'], text)}
      />
      <${Field} label=${t('begin.date')}
        ><input
          type="date"
          value=${ask.date}
          onInput=${(event) => event.target.value && onPut(['date'], event.target.value)}
      /><//>
      ${['start', 'cut'].map(
        (field) =>
          html`<${Field} key=${field} label=${t(`prepare.${field}`)}
            ><input
              type="time"
              value=${draft[field]}
              onInput=${(event) => onDraft({ ...draft, [field]: event.target.value })}
          /><//>`,
      )}
    </div>
    <${Rows}
      map=${ask.helpers}
      title=${(one, n) => one.name?.trim() || t('prepare.helper', { n })}
      note=${(one) => (one.name?.trim() && one.age !== undefined ? t('prepare.years', { n: one.age }) : null)}
      row=${(id, one) =>
        html`<div class="pair">
          <${TextField}
            label=${t('prepare.called')}
            value=${one.name}
            maxlength="60"
            onValue=${(text) => onPut(['helpers', id, 'name'], text)}
          />
          <${WholeField}
            label=${t('prepare.age')}
            max="120"
            value=${one.age}
            onValue=${(age) => onPut(['helpers', id, 'age'], age)}
          />
        </div>`}
      add=${t('prepare.add-helper')}
      onAdd=${() => onPut(['helpers', freeId(ask.helpers, 'helper')], { name: '' })}
      onRemove=${(id) => onPut(['helpers', id], undefined)}
    />
  <//>`;
}
