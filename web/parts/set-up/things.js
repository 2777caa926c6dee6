// One kind of thing the lead sets up: a list, a form for each, a form for a new one, and taking
// one away. <${Things} app=${app} kind=${STATIONS} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { idFrom } from '../../core/protocol.js';
import { OrderForm } from '../order-form.js';
import { Fold } from '../sheet.js';

/** Changing one, and taking it away. */
export function Change({ app, kind, id }) {
  const [plan, setPlan] = useState(kind.planOf(app.view[kind.map][id]));
  const build = () => kind.missing(plan) ?? { order: kind.change, [kind.id]: id, plan };
  return html`<${OrderForm} app=${app} button=${t('form.save')} build=${build}>
      <${kind.Form} app=${app} plan=${plan} onPlan=${setPlan} own=${id}
    /><//>
    <${Fold} title=${t('form.retire')}
      ><${OrderForm}
        app=${app}
        danger=${true}
        button=${t('form.retire-yes')}
        build=${() => ({ order: kind.retire, [kind.id]: id })}
        ><p>${t(`retire-why.${kind.id}`)}</p><//
      ><//
    >`;
}

/** A new one. */
export function Add({ app, kind, onDone }) {
  const [plan, setPlan] = useState(kind.fresh(app.view));
  const build = () =>
    kind.missing(plan) ?? {
      order: kind.add,
      [kind.id]: idFrom(plan.name, Object.keys(app.view[kind.map] ?? {}), kind.id),
      plan,
    };
  return html`<${OrderForm}
    app=${app}
    button=${t(`add.${kind.id}`)}
    build=${build}
    onDone=${onDone}
  >
    <${kind.Form} app=${app} plan=${plan} onPlan=${setPlan}
  /><//>`;
}

/** The list with its forms; only the open one is built. */
export function Things({ app, kind }) {
  const [open, setOpen] = useState(null);
  const list = entriesOf(app.view[kind.map]);
  const toggle = (id) => setOpen(open === id ? null : id);
  return html`<p class="soft">${t(`set-up.about.${kind.id}`)}</p>
    <ul class="things">
      ${list.map(
        ([id, thing]) =>
          html`<li key=${id} class="thing">
            <button class="thing-head" aria-expanded=${open === id} onClick=${() => toggle(id)}>
              <strong>${thing.name}</strong><span class="soft">${kind.sum(app.view, thing)}</span>
            </button>
            ${open === id &&
              html`<div class="thing-form"><${Change} app=${app} kind=${kind} id=${id} /></div>`}
          </li>`,
      )}
      ${list.length === 0 && html`<li class="soft">${t('set-up.none')}</li>`}
    </ul>
    <div class="thing thing-add">
      <button class="thing-head" aria-expanded=${open === ''} onClick=${() => toggle('')}>
        <strong>+ ${t(`add.${kind.id}`)}</strong>
      </button>
      ${open === '' &&
        html`<div class="thing-form"><${Add} app=${app} kind=${kind}
          onDone=${() => setOpen(null)} /></div>`}
    </div>`;
}
