// Fields of plain forms, each with its label around it. Values go in and out as data; amounts as
// thousandths. <${TextField} label=${t('field.name')} value=${name} onValue=${setName} />

import { html, useState } from '../ui.js';
import { decimal, typedAmount } from '../core/format.js';
import { manner } from '../core/manner.js';
import { ratherTyped } from '../core/units.js';
import { t } from '../words/words.js';

/** A label, a field and a hint. */
export function Field({ label, hint, children }) {
  return html`<label class="field"
    ><span class="field-label">${label}</span>${children}
    ${hint && html`<span class="hint">${hint}</span>`}</label
  >`;
}

/** One line of text. */
export function TextField({ label, hint, value, onValue, ...rest }) {
  return html`<${Field} label=${label} hint=${hint}>
    <input
      type="text"
      value=${value ?? ''}
      autocomplete="off"
      ...${rest}
      onInput=${(event) => onValue(event.target.value)}
  /><//>`;
}

/** A whole number, or undefined while empty. */
export function WholeField({ label, hint, value, onValue, min = 0, max = 100000, ...rest }) {
  const change = (event) => {
    const text = event.target.value.trim();
    onValue(/^-?\d+$/.test(text) ? Number(text) : undefined);
  };
  return html`<${Field} label=${label} hint=${hint}>
    <input
      type="number"
      inputmode="numeric"
      step="1"
      min=${min}
      max=${max}
      value=${value ?? ''}
      ...${rest}
      onInput=${change}
  /><//>`;
}

/** In which measure a field counts, where this device would rather type another. */
function unitHint(measure) {
  const other = ratherTyped(measure, manner().units);
  return other
    ? t('field.amount-unit', { measure: t(`measure-name.${measure}`), example: `2 ${other}` })
    : undefined;
}

/**
 * An amount in thousandths of `measure`, typed as a decimal, or with the unit behind it; null
 * while it is none.
 */
export function AmountField({ label, hint, value, onValue, measure, ...rest }) {
  const [text, setText] = useState(value == null ? '' : decimal(value));
  const change = (event) => {
    setText(event.target.value);
    onValue(
      event.target.value.trim() === '' ? undefined : typedAmount(event.target.value, measure),
    );
  };
  const bad = text.trim() !== '' && typedAmount(text, measure) === null;
  const said = [hint, unitHint(measure)].filter(Boolean).join(' ');
  return html`<${Field} label=${label} hint=${bad ? t('field.amount-bad') : said}>
    <input
      type="text"
      inputmode=${ratherTyped(measure, manner().units) ? 'text' : 'decimal'}
      value=${text}
      aria-invalid=${bad ? 'true' : 'false'}
      ...${rest}
      onInput=${change}
  /><//>`;
}

/** One of a few: options are `[value, label]`. */
export function ChoiceField({ label, hint, value, onValue, options, empty, ...rest }) {
  return html`<${Field} label=${label} hint=${hint}>
    <select ...${rest} onChange=${(event) => onValue(event.target.value || undefined)}>
      ${empty && html`<option value="" selected=${!value}>${empty}</option>`}
      ${options.map(
        ([id, words]) => html`<option value=${id} selected=${id === value}>${words}</option>`,
      )}
    </select><//
  >`;
}

/** Any of a few, as check boxes. */
export function ChecksField({ label, hint, value = [], onValue, options }) {
  const flip = (id) =>
    onValue(options.map(([one]) => one).filter((one) => (one === id) !== value.includes(one)));
  return html`<fieldset class="field">
    <legend class="field-label">${label}</legend>
    <div class="checks">
      ${options.map(
        ([id, words]) =>
          html`<label class="check">
            <input type="checkbox" checked=${value.includes(id)} onChange=${() => flip(id)} />
            <span>${words}</span></label
          >`,
      )}
    </div>
    ${hint && html`<span class="hint">${hint}</span>`}
  </fieldset>`;
}

/** One of a few, all in view; options are `[value, label, extra?]`. */
export function RadioField({ label, value, onValue, options, name }) {
  return html`<fieldset class="field">
    <legend class="field-label">${label}</legend>
    <div class="radios">
      ${options.map(
        ([id, words, extra]) =>
          html`<label class="check radio">
            <input
              type="radio"
              name=${name}
              value=${id}
              checked=${id === value}
              onChange=${() => onValue(id)}
            />
            <span>${words}${extra && html`${' '}<small>${extra}</small>`}</span></label
          >`,
      )}
    </div>
  </fieldset>`;
}
