// What the household eats: dishes with their amount and how often.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { decimal } from '../../core/format.js';
import { freeId, newUse } from '../../core/prepare.js';
import { AmountField, ChoiceField, TextField, WholeField } from '../fields.js';
import { foodName, packageName, portionWords } from './words.js';
import { ProduceField } from './there-is.js';
import { Part, Rows } from './rows.js';

const UNITS = ['cup', 'pint', 'quart', 'ml', 'g'];

/** Foods of a produce, and whatever was typed. */
function foodsOf(foods, { produce, food }) {
  const listed = (foods ?? [])
    .filter((one) => (one.produce ?? []).includes(produce))
    .map((one) => one.name);
  const all = food && !listed.includes(food) ? [...listed, food] : listed;
  return all.map((name) => [name, foodName(name)]);
}

function Still({ id, one, packages, onPut }) {
  return entriesOf(packages).map(
    ([name, { container }]) =>
      html`<${WholeField}
        key=${name}
        label=${t('prepare.still', { package: packageName(container) })}
        max="2000"
        value=${one.still?.[name] === undefined ? undefined : one.still[name] / 1000}
        onValue=${(n) => onPut(['uses', id, 'still', name], n ? n * 1000 : undefined)}
      />`,
  );
}

function More({ id, one, packages, onPut }) {
  const at = (field) => (value) => onPut(['uses', id, field], value ?? undefined);
  return html`<details class="fold">
    <summary>${t('prepare.more')}</summary>
    <div class="pair fold-inside">
      <${Still} id=${id} one=${one} packages=${packages} onPut=${onPut} />
      <${WholeField}
        label=${t('prepare.opened-days')}
        hint=${t('prepare.opened-days-hint')}
        max="14"
        value=${one.opened_days}
        onValue=${at('opened_days')}
      />
      <${AmountField}
        label=${t('prepare.worth')}
        hint=${t('prepare.worth-hint')}
        value=${one.worth ?? 1000}
        onValue=${at('worth')}
      />
      <${AmountField}
        label=${t('prepare.own-yield')}
        hint=${t('prepare.own-yield-hint')}
        value=${one.lb_per_quart}
        onValue=${at('lb_per_quart')}
      />
    </div>
  </details>`;
}

function Row({ id, one, foods, packages, onPut }) {
  const at = (field) => (value) => onPut(['uses', id, field], value ?? undefined);
  return html`<div class="pair">
      <${TextField}
        label=${t('prepare.use-name')}
        hint=${t('prepare.use-name-hint')}
        value=${one.name}
        maxlength="60"
        onValue=${(text) => onPut(['uses', id, 'name'], text)}
      />
      <${ProduceField}
        foods=${foods}
        value=${one.produce}
        onValue=${(name) => onPut(['uses', id], { ...one, produce: name, food: undefined, pinned: undefined })}
      />
      <${ChoiceField}
        label=${t('prepare.as')}
        value=${one.food}
        empty=${t('prepare.as-it-is')}
        options=${foodsOf(foods, one)}
        onValue=${at('food')}
      />
      <${ChoiceField}
        label=${t('prepare.keep')}
        value=${one.keep}
        options=${['either', 'shelf', 'freezer'].map((keep) => [keep, t(`prepare.keep.${keep}`)])}
        onValue=${at('keep')}
      />
      <div class="prepare-both">
      <${AmountField} label=${t('prepare.each-time')} value=${one.amount} onValue=${at('amount')} />
      <${ChoiceField}
        label=${t('prepare.counted-in')}
        value=${one.unit}
        options=${UNITS.map((unit) => [unit, t(`prepare.portion.${unit}`)])}
        onValue=${at('unit')}
      />
      </div>
      <div class="prepare-both">
      <${AmountField}
        label=${t('prepare.times')}
        hint=${t('prepare.times-hint')}
        value=${one.times}
        onValue=${at('times')}
      />
      <${ChoiceField}
        label=${t('prepare.per')}
        value=${one.per}
        options=${['week', 'month'].map((per) => [per, t(`prepare.per.${per}`)])}
        onValue=${at('per')}
      />
      </div>
      <${AmountField} label=${t('prepare.weeks')} value=${one.weeks} onValue=${at('weeks')} />
    </div>
    <${More} id=${id} one=${one} packages=${packages} onPut=${onPut} />`;
}

/** "2 cups, 1 in a week", or null while it is unfinished. */
function note(one) {
  if (!one.name?.trim() || !one.produce || !one.amount || !one.times || !one.weeks) return null;
  const params = { portion: portionWords(one), times: decimal(one.times) };
  return t(`prepare.often.${one.per}`, params);
}

/** The second part of the form. */
export function Uses({ foods, map, packages, onPut }) {
  return html`<${Part} title=${t('prepare.uses')} open=${true}>
    <${Rows}
      map=${map}
      title=${(one, n) => one.name?.trim() || t('prepare.use', { n })}
      note=${note}
      row=${(id, one) =>
        html`<${Row} id=${id} one=${one} foods=${foods} packages=${packages} onPut=${onPut} />`}
      add=${t('prepare.add-use')}
      onAdd=${() => onPut(['uses', freeId(map, 'use')], newUse())}
      onRemove=${(id) => onPut(['uses', id], undefined)}
    />
  <//>`;
}
