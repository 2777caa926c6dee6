// The form of a station: name, work, how it works, seats, what it asks of people, what it takes.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { natureOf, newStation } from '../../core/plan.js';
import { ChecksField, ChoiceField, TextField, WholeField } from '../fields.js';
import { NatureForm } from './nature-form.js';

export const WORKS = [
  'wash',
  'scald',
  'peel',
  'slice',
  'cook',
  'strain',
  'fill',
  'process',
  'cool',
  'bag',
  'freeze',
  'clean',
  'other',
];
export const NEEDS = ['blade', 'heat', 'lifting', 'adult-beside'];
const NATURES = ['hand', 'vessel', 'canner', 'hold'];

function Occupies({ app, plan, onPlan }) {
  const shared = entriesOf(app.view.resources);
  if (!shared.length) return null;
  const put = (id, n) => {
    const occupies = { ...plan.occupies };
    if (n > 0) occupies[id] = n;
    else delete occupies[id];
    onPlan({ ...plan, occupies });
  };
  return html`<fieldset class="field">
    <legend class="field-label">${t('station.occupies')}</legend>
    <div class="pair">
      ${shared.map(
        ([id, one]) =>
          html`<${WholeField}
            key=${id}
            label=${one.name}
            value=${plan.occupies?.[id]}
            onValue=${(n) => put(id, n)}
            max=${20}
          />`,
      )}
    </div>
  </fieldset>`;
}

/** Edits the plan of a station. */
export function StationForm({ app, plan, onPlan, own }) {
  const set = (member) => (value) => onPlan({ ...plan, [member]: value });
  const ofWork = (work) =>
    onPlan(own ? { ...plan, work } : { ...newStation(work), name: plan.name || t(`work.${work}`) });
  return html`<div class="pair">
      <${ChoiceField}
        label=${t('station.kind')}
        value=${plan.work}
        onValue=${ofWork}
        options=${WORKS.map((one) => [one, t(`work.${one}`)])}
      />
      <${TextField}
        label=${t('field.name')}
        value=${plan.name}
        onValue=${set('name')}
        maxlength="40"
      />
      <${WholeField}
        label=${t('station.seats')}
        hint=${t('station.seats-hint')}
        value=${plan.seats}
        onValue=${set('seats')}
        max=${20}
      />
      <${ChoiceField}
        label=${t('station.nature')}
        value=${plan.nature.is}
        onValue=${(is) => onPlan({ ...plan, nature: natureOf(is) })}
        options=${NATURES.map((one) => [one, t(`nature.${one}`)])}
      />
    </div>
    <${NatureForm} key=${plan.nature.is} nature=${plan.nature} onNature=${set('nature')} />
    <${ChecksField}
      label=${t('station.needs')}
      value=${plan.needs ?? []}
      onValue=${set('needs')}
      options=${NEEDS.map((one) => [one, t(`need.${one}`)])}
    />
    <${Occupies} app=${app} plan=${plan} onPlan=${onPlan} />
    <label class="check"
      ><input
        type="checkbox"
        checked=${plan.set_up !== false}
        onChange=${() => set('set_up')(plan.set_up === false)}
      /><span>${t('station.ready')}</span></label
    >`;
}
