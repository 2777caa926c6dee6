// How a station works: pots with their sizes and stirring, what a canner holds, room on a rack.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { jarName } from '../../core/figures.js';
import { entriesOf } from '../../core/flow.js';
import { idFrom } from '../../core/protocol.js';
import { STIR_USUAL } from '../../core/plan.js';
import { AmountField, ChoiceField, TextField, WholeField } from '../fields.js';

export const METHODS = ['boiling-water', 'steam', 'pressure-dial', 'pressure-weighted'];
export const JARS = ['half-pint', 'pint', 'quart', 'half-gallon'];
const POT_MEASURES = ['lb', 'qt', 'kg', 'l', 'cup'];

function PotFields({ pot, onPot, onAway }) {
  const takes = (measure) => (amount) => {
    const next = { ...pot.takes };
    if (amount > 0) next[measure] = amount;
    else delete next[measure];
    onPot({ ...pot, takes: next });
  };
  const shown = POT_MEASURES.filter((one, index) => index < 2 || pot.takes?.[one]);
  return html`<li class="part">
    <div class="pair">
      <${TextField}
        label=${t('pot.name')}
        value=${pot.name}
        onValue=${(name) => onPot({ ...pot, name })}
        maxlength="40"
      />
      ${shown.map(
        (one) =>
          html`<${AmountField}
            key=${one}
            label=${t('pot.takes', { measure: t(`measure-name.${one}`) })}
            value=${pot.takes?.[one]}
            onValue=${takes(one)}
          />`,
      )}
    </div>
    <button type="button" class="button" onClick=${onAway}>
      ${t('pot.away', { name: pot.name })}
    </button>
  </li>`;
}

function Vessel({ nature, onNature }) {
  const pots = nature.pots ?? {};
  const put = (id) => (pot) => onNature({ ...nature, pots: { ...pots, [id]: pot } });
  const away = (id) => () =>
    onNature({
      ...nature,
      pots: Object.fromEntries(entriesOf(pots).filter(([one]) => one !== id)),
    });
  const add = () => {
    const name = t('pot.new', { n: entriesOf(pots).length + 1 });
    put(idFrom(name, Object.keys(pots), 'pot'))({ name, takes: { lb: 20000, qt: 10000 } });
  };
  const { stir } = nature;
  const setStir = (member) => (n) => onNature({ ...nature, stir: { ...stir, [member]: n ?? 0 } });
  const flip = () => {
    const { stir: gone, ...rest } = nature;
    onNature(gone ? rest : { ...nature, stir: STIR_USUAL });
  };
  return html`<fieldset class="field">
      <legend class="field-label">${t('pot.title')}</legend>
      <ul class="parts">
        ${entriesOf(pots).map(
          ([id, pot]) =>
            html`<${PotFields} key=${id} pot=${pot} onPot=${put(id)} onAway=${away(id)} />`,
        )}
      </ul>
      <button type="button" class="button" onClick=${add}>+ ${t('pot.add')}</button>
    </fieldset>
    <label class="check"
      ><input type="checkbox" checked=${Boolean(stir)} onChange=${flip} /><span
        >${t('stir.needed')}</span
      ></label
    >
    ${
      stir &&
      html`<div class="pair">
        ${['thin_min', 'half_min', 'thick_min'].map(
          (one) =>
            html`<${WholeField}
              key=${one}
              label=${t(`stir.${one}`)}
              value=${stir[one]}
              onValue=${setStir(one)}
              min=${1}
              max=${240}
            />`,
        )}
      </div>`
    }`;
}

function CannerFields({ canner, onCanner, onAway }) {
  const hold = (jar) => (n) => {
    const holds = { ...canner.holds };
    if (n > 0) holds[jar] = n;
    else delete holds[jar];
    onCanner({ ...canner, holds });
  };
  return html`<li class="part">
    <div class="pair">
      <${TextField}
        label=${t('canner.name')}
        value=${canner.name}
        onValue=${(name) => onCanner({ ...canner, name })}
        maxlength="40"
      />
      ${JARS.map(
        (jar) =>
          html`<${WholeField}
            key=${jar}
            label=${jarName(jar)}
            value=${canner.holds?.[jar]}
            onValue=${hold(jar)}
            max=${60}
          />`,
      )}
    </div>
    <button type="button" class="button" onClick=${onAway}>
      ${t('pot.away', { name: canner.name })}
    </button>
  </li>`;
}

function CannersFields({ nature, onNature }) {
  const canners = nature.canners ?? {};
  const put = (id) => (canner) => onNature({ ...nature, canners: { ...canners, [id]: canner } });
  const away = (id) => () =>
    onNature({
      ...nature,
      canners: Object.fromEntries(entriesOf(canners).filter(([one]) => one !== id)),
    });
  const add = () => {
    const name = t('canner.new', { n: entriesOf(canners).length + 1 });
    put(idFrom(name, Object.keys(canners), 'canner'))({ name, holds: { quart: 7, pint: 9 } });
  };
  return html`<${ChoiceField}
      label=${t('canner.method')}
      value=${nature.method}
      onValue=${(method) => onNature({ ...nature, method })}
      options=${METHODS.map((one) => [one, t(`method.${one}`)])}
    />
    <fieldset class="field">
      <legend class="field-label">${t('canner.holds')}</legend>
      <ul class="parts">
        ${entriesOf(canners).map(
          ([id, one]) =>
            html`<${CannerFields}
              key=${id}
              canner=${one}
              onCanner=${put(id)}
              onAway=${away(id)}
            />`,
        )}
      </ul>
      <button type="button" class="button" onClick=${add}>+ ${t('canner.add')}</button>
    </fieldset>`;
}

function HoldFields({ nature, onNature }) {
  const set = (capacity) => onNature(capacity > 0 ? { is: 'hold', capacity } : { is: 'hold' });
  return html`<${AmountField}
    label=${t('hold.capacity')}
    hint=${t('hold.capacity-hint')}
    value=${nature.capacity}
    onValue=${set}
  />`;
}

const FORMS = { vessel: Vessel, canner: CannersFields, hold: HoldFields };

/** The fields of a nature; work by hand has none. */
export function NatureForm({ nature, onNature }) {
  const Form = FORMS[nature.is];
  return Form ? html`<${Form} nature=${nature} onNature=${onNature} />` : null;
}
