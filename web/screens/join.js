// Joining a day: pick yourself by your sign, or add yourself. The device remembers who you are.

import { html, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { helpersInOrder } from '../core/seats.js';
import { idFrom } from '../core/protocol.js';
import { Frame } from '../parts/frame.js';
import { SignChoice } from '../parts/sign-choice.js';
import { OrderForm } from '../parts/order-form.js';
import { TextField, WholeField } from '../parts/fields.js';
import { Sign, SIGNS } from '../parts/signs.js';

function AddMyself({ app, onDone }) {
  const used = entriesOf(app.view.helpers).map(([, one]) => one.sign);
  const [name, setName] = useState('');
  const [age, setAge] = useState(undefined);
  const [sign, setSign] = useState(SIGNS.find((one) => !used.includes(one)));
  const minted = useRef(null);
  const build = () => {
    if (!name.trim()) return t('field.name-missing');
    if (age === undefined) return t('join.age-missing');
    const fresh = idFrom(name, Object.keys(app.view.helpers ?? {}), 'helper');
    minted.current = fresh;
    return {
      order: 'add-helper',
      helper: fresh,
      plan: { name: name.trim(), sign, age, limits: [], likes: [], here: true },
    };
  };
  return html`<${OrderForm}
    app=${app}
    button=${t('join.add')}
    build=${build}
    onDone=${() => onDone(minted.current)}
  >
    <div class="pair">
      <${TextField}
        label=${t('field.name')}
        value=${name}
        onValue=${setName}
        maxlength="24"
        autocomplete="given-name"
      />
      <${WholeField}
        label=${t('field.age')}
        hint=${t('join.age-why')}
        value=${age}
        onValue=${setAge}
        max=${120}
      />
    </div>
    <${SignChoice} value=${sign} onValue=${setSign} used=${used}
  /><//>`;
}

/** The screen at `#/day/ID/join`. */
export function JoinScreen({ app }) {
  const [adding, setAdding] = useState(false);
  const be = (id) => {
    app.useHelper(id);
    const { presence } = app.view.helpers[id] ?? {};
    if (['expected', 'gone'].includes(presence)) app.send({ order: 'arrive', helper: id });
    app.go(`#/day/${app.day}/helper`);
  };
  const added = (id) => {
    app.useHelper(id);
    app.go(`#/day/${app.day}/helper`);
  };
  const tools = html`${app.lead &&
    html`<a class="button button-quiet" href=${`#/day/${app.day}/lead`}>${t('nav.lead')}</a>`}`;
  return html`<${Frame}
    app=${app}
    title=${t('join.title')}
    sub=${app.view.day.name}
    kind="narrow join"
    tools=${tools}
  >
    <ul class="join-people">
      ${helpersInOrder(app.view).map(
        ([id, helper]) =>
          html`<li key=${id}>
            <button class="join-person" onClick=${() => be(id)}>
              <${Sign} name=${helper.sign} of=${helper.name} size="76" />
              <strong>${helper.name}</strong
              ><small class="soft">${t(`presence.${helper.presence}`)}</small>
            </button>
          </li>`,
      )}
    </ul>
    ${
      adding
        ? html`<section class="card">
            <h2>${t('join.new')}</h2>
            <${AddMyself} app=${app} onDone=${added} />
          </section>`
        : html`<button class="button button-wide" onClick=${() => setAdding(true)}>
            ${t('join.not-listed')}
          </button>`
    }
    <p class="soft">${t('join.no-account')}</p><//
  >`;
}
