// What there is: boxes, bushels, pounds of each produce.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { decimal } from '../../core/format.js';
import { freeId } from '../../core/prepare.js';
import { AmountField, ChoiceField, TextField } from '../fields.js';
import { foodName } from './words.js';
import { Part, Rows } from './rows.js';

const UNITS = ['box', 'bushel', 'lb', 'kg'];

/** Every produce that a tested food is made of. */
export const producesOf = (foods) =>
  [...new Set((foods ?? []).flatMap((food) => food.produce ?? []))].sort();

/** Chosen for a produce that is not in the list and is typed beside it. */
const OTHER = '?';

/** A produce from the list, or any other by its name. */
export function ProduceField({ foods, value, onValue }) {
  const list = producesOf(foods);
  const other = Boolean(value) && foods !== null && !list.includes(value);
  return html`<${ChoiceField}
      label=${t('prepare.produce')}
      value=${other ? OTHER : value}
      empty=${t('prepare.choose')}
      options=${[...list.map((name) => [name, foodName(name)]), [OTHER, t('prepare.other')]]}
      onValue=${(name) => onValue(name === OTHER ? ' ' : (name ?? ''))}
    />
    ${
      other &&
      html`<${TextField}
        label=${t('prepare.other-name')}
        hint=${t('prepare.other-hint')}
        value=${value.trim()}
        maxlength="60"
        onValue=${(text) => onValue(text || ' ')}
      />`
    }`;
}

/** "1.25 bushels", or null while it is unfinished. */
const note = ({ produce, amount, unit }) =>
  produce && amount
    ? t(`prepare.there.${unit}`, { amount: decimal(amount), n: amount / 1000 })
    : null;

/** The first part of the form. */
export function ThereIs({ foods, map, onPut }) {
  const row = (id, one) => html`<div class="pair">
    <${ProduceField}
      foods=${foods}
      value=${one.produce}
      onValue=${(name) => onPut(['there_is', id, 'produce'], name)}
    />
    <div class="prepare-both">
    <${AmountField}
      label=${t('prepare.amount')}
      value=${one.amount}
      onValue=${(amount) => onPut(['there_is', id, 'amount'], amount ?? undefined)}
    />
    <${ChoiceField}
      label=${t('prepare.counted-in')}
      value=${one.unit}
      options=${UNITS.map((unit) => [unit, t(`prepare.bought.${unit}`)])}
      onValue=${(unit) => onPut(['there_is', id, 'unit'], unit)}
    />
    </div>
    <${TextField}
      label=${t('prepare.variety')}
      value=${one.variety}
      maxlength="60"
      onValue=${(text) => onPut(['there_is', id, 'variety'], text || undefined)}
    />
  </div>`;
  return html`<${Part} title=${t('prepare.there-is')} open=${true}>
    <${Rows}
      map=${map}
      title=${(one, n) => one.variety || (one.produce ? foodName(one.produce) : t('prepare.lot', { n }))}
      note=${note}
      row=${row}
      add=${t('prepare.add-lot')}
      onAdd=${() => onPut(['there_is', freeId(map, 'lot')], { produce: '', unit: 'box' })}
      onRemove=${(id) => onPut(['there_is', id], undefined)}
    />
  <//>`;
}
