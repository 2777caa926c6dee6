// Adding oneself in three taps: a picture, then a name, and the age by a tap that joins at once.
// <${AddMyself} app=${app} onDone=${enter} onAmListed=${pick} onBack=${back} />

import { html, useEffect, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { ageBands, namesake } from '../core/device.js';
import { entriesOf } from '../core/flow.js';
import { idFrom } from '../core/protocol.js';
import { TextField } from './fields.js';
import { Mark } from './pictures.js';
import { Problem } from './problem.js';
import { Sign, SIGNS } from './signs.js';
import { SignChoice } from './sign-choice.js';

/** The figures beside the ages grow with them, for those who cannot read yet. */
const SMALLEST = 18;
const TALLER = 5;

const bandWords = ({ from, to }) => {
  if (to === undefined) return t('join.age-from', { from });
  return from === 0 ? t('join.age-to', { to }) : t('join.age-between', { from, to });
};

/** What somebody without a name is called: by the picture. */
const nameOf = (sign) => t(`sign.${sign}`).replace(/^./, (first) => first.toUpperCase());

/** Sends the order that adds somebody; the state says how far it is. */
function useAdding(app, onDone) {
  const [state, setState] = useState({ is: 'open' });
  async function add({ name, sign, age }) {
    const id = idFrom(name, Object.keys(app.view.helpers ?? {}), 'helper');
    setState({ is: 'sending', age });
    const plan = { name, sign, age, limits: [], likes: [], here: true };
    const outcome = await app.send({ order: 'add-helper', helper: id, plan }, { quiet: true });
    if (outcome.accepted) onDone(id);
    else setState({ is: 'refused', problem: outcome.problem });
  }
  return [state, setState, add];
}

function Picture({ used, onPick, onBack }) {
  const title = useRef(null);
  useEffect(() => title.current?.focus(), []);
  return html`<section class="join-step">
    <h2 ref=${title} tabindex="-1">${t('join.pick-sign')}</h2>
    <${SignChoice} used=${used} onValue=${onPick} size="56" titled=${true} />
    <button class="button" onClick=${onBack}>${t('sheet.back')}</button>
  </section>`;
}

function Answer({ app, state, sign, onName, onAmListed }) {
  if (state.is === 'refused')
    return html`<${Problem} app=${app} problem=${state.problem} onOffer=${(one) => app.send(one)} />`;
  if (state.is === 'nameless')
    return html`<div class="problem join-answer" role="alert">
      <p>${t('join.nameless')}</p>
      ${
        sign &&
        html`<button class="button" type="button" onClick=${onName}>
          <${Sign} name=${sign} size="32" /> ${t('join.as-sign', { name: nameOf(sign) })}
        </button>`
      }
    </div>`;
  if (state.is === 'listed') {
    const helper = app.view.helpers[state.id];
    return html`<div class="problem join-answer" role="alert">
      <p>${t('join.listed', { name: helper.name })}</p>
      <button class="button" type="button" onClick=${() => onAmListed(state.id)}>
        <${Sign} name=${helper.sign} of=${helper.name} size="32" />
        ${t('join.am-listed', { name: helper.name })}
      </button>
    </div>`;
  }
  return null;
}

function NameAndAge({ app, sign, name, onName, onSign, onDone, onAmListed, onBack }) {
  const [state, setState, add] = useAdding(app, onDone);
  const form = useRef(null);
  useEffect(() => form.current?.querySelector('input')?.focus(), []);
  const join = (age, called = name.trim()) => {
    if (!called) {
      setState({ is: 'nameless', age });
      return;
    }
    const listed = namesake(app.view.helpers, called);
    if (listed) setState({ is: 'listed', id: listed });
    else add({ name: called, sign, age });
  };
  return html`<form class="join-step" ref=${form} onSubmit=${(event) => event.preventDefault()}>
    <div class="join-me">
      <button type="button" class="join-sign" onClick=${onSign} aria-label=${t('join.other-sign')}>
        <${Sign} name=${sign} of=${name} size="64" />
      </button>
      <${TextField}
        label=${t('join.name')}
        value=${name}
        onValue=${onName}
        maxlength="24"
        autocomplete="given-name"
        enterkeyhint="done"
      />
    </div>
    ${!sign && html`<p class="soft">${t('join.no-sign-free')}</p>`}
    <${Answer}
      app=${app}
      state=${state}
      sign=${sign}
      onName=${() => join(state.age, nameOf(sign))}
      onAmListed=${onAmListed}
    />
    <fieldset class="join-ages">
      <legend class="field-label">${t('join.age')}</legend>
      ${ageBands(app.view.day.age_rules).map(
        (band, index) =>
          html`<button
            type="button"
            key=${band.from}
            class="button button-act"
            disabled=${state.is === 'sending'}
            onClick=${() => join(band.age)}
          >
            <${Mark} of="person" size=${SMALLEST + index * TALLER} />
            ${
              state.is === 'sending' && state.age === band.age
                ? t('pending.sending')
                : bandWords(band)
            }
          </button>`,
      )}
      <p class="hint">${t('join.age-why')}</p>
    </fieldset>
    <button type="button" class="button" onClick=${onBack}>${t('sheet.back')}</button>
  </form>`;
}

/** The two steps. */
export function AddMyself({ app, onDone, onAmListed, onBack }) {
  const used = entriesOf(app.view.helpers).map(([, one]) => one.sign);
  const free = SIGNS.some((one) => !used.includes(one));
  const [sign, setSign] = useState(null);
  const [name, setName] = useState('');
  const lost = sign && used.includes(sign);
  if (free && (!sign || lost))
    return html`${lost && html`<p class="problem" role="alert">${t('join.sign-lost')}</p>`}
      <${Picture} used=${used} onPick=${setSign} onBack=${onBack} />`;
  return html`<${NameAndAge}
    app=${app}
    sign=${free ? sign : ''}
    name=${name}
    onName=${setName}
    onSign=${() => setSign(null)}
    onDone=${onDone}
    onAmListed=${onAmListed}
    onBack=${free ? () => setSign(null) : onBack}
  />`;
}
