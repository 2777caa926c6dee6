// What can be done with a lot beside taking one: put elsewhere, throw away, count, recall.
// <${ChangeLot} app=${app} shelf=${shelf} lot=${{ day, code }} told=${lot} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { countOf, PLACES, WHYS } from '../../core/package-lots.js';
import { ChoiceField, TextField } from '../fields.js';
import { Fold } from '../sheet.js';
import { Stepper } from '../stepper.js';

const placeOptions = (places) => places.map((place) => [place, t(`tags.place.${place}`)]);

function Form({ button, danger, busy, onDo, children }) {
  const submit = (event) => {
    event.preventDefault();
    onDo();
  };
  return html`<form class="order-form" onSubmit=${submit}>
    ${children}
    <button class=${`button ${danger ? 'button-danger' : 'button-act'}`} disabled=${busy}>
      ${button}
    </button>
  </form>`;
}

/** How many of what is left, in thousandths: a part of one goes as it is. */
const thousandths = (count, left) => Math.min(count * 1000, left);

function Move({ shelf, lot, told, here }) {
  const [from, setFrom] = useState(here[0]);
  const [wished, setTo] = useState('freezer');
  const [count, setCount] = useState(1);
  const to = PLACES.filter((place) => place !== 'pantry' && place !== from);
  const target = to.includes(wished) ? wished : to[0];
  const left = told.left[from] ?? 0;
  const send = () =>
    shelf.send({ order: 'move', lot, from, to: target, packages: thousandths(count, left) });
  return html`<${Form} button=${t('shelf.do-move')} busy=${shelf.busy} onDo=${send}>
    <${ChoiceField}
      label=${t('shelf.from')}
      value=${from}
      options=${placeOptions(here)}
      onValue=${setFrom}
    />
    <${ChoiceField}
      label=${t('shelf.move-to')}
      value=${target}
      options=${placeOptions(to)}
      onValue=${setTo}
    />
    <${Stepper} label=${t('shelf.how-many')} value=${count} most=${countOf(left)} onValue=${setCount} />
  <//>`;
}

function Discard({ shelf, lot, told, here }) {
  const [place, setPlace] = useState(here[0]);
  const [why, setWhy] = useState(told.recalled ? 'recalled' : WHYS[0]);
  const [count, setCount] = useState(1);
  const left = told.left[place] ?? 0;
  const send = () =>
    shelf.send({ order: 'discard', lot, place, why, packages: thousandths(count, left) });
  return html`<${Form} button=${t('shelf.do-discard')} danger busy=${shelf.busy} onDo=${send}>
    <${ChoiceField}
      label=${t('shelf.from')}
      value=${place}
      options=${placeOptions(here)}
      onValue=${setPlace}
    />
    <${ChoiceField}
      label=${t('shelf.why')}
      value=${why}
      options=${WHYS.map((one) => [one, t(`shelf.why.${one}`)])}
      onValue=${setWhy}
    />
    <${Stepper} label=${t('shelf.how-many')} value=${count} most=${countOf(left)} onValue=${setCount} />
  <//>`;
}

function Correct({ shelf, lot, told, places }) {
  const [place, setPlace] = useState(places[0]);
  const [typed, setCount] = useState(null);
  const count = typed ?? countOf(told.left[place]);
  const send = async () => {
    const done = await shelf.send({ order: 'correct', lot, place, packages: count * 1000 });
    if (done) setCount(null);
  };
  return html`<${Form} button=${t('shelf.do-correct')} busy=${shelf.busy} onDo=${send}>
    <${ChoiceField}
      label=${t('shelf.from')}
      value=${place}
      options=${placeOptions(places)}
      onValue=${setPlace}
    />
    <${Stepper}
      label=${t('shelf.really')}
      value=${count}
      most=${countOf(told.made)}
      onValue=${setCount}
    />
  <//>`;
}

function Recall({ shelf, lot, told, codes }) {
  const [reason, setReason] = useState('');
  const batch = { day: lot.day, batch: told.batch };
  return html`<${Form}
    button=${t('shelf.do-recall', { batch: told.batch })}
    danger
    busy=${shelf.busy || !reason.trim()}
    onDo=${() => shelf.send({ order: 'recall', batch, reason })}
  >
    <p>${t('shelf.recall-about', { batch: told.batch, lots: codes.join(', ') })}</p>
    <${TextField} label=${t('shelf.reason')} value=${reason} onValue=${setReason} maxlength="400" />
  <//>`;
}

/** The forms, each folded away. */
export function ChangeLot({ app, shelf, lot, told, codes }) {
  const here = PLACES.filter((place) => told.left[place] > 0);
  const ever = PLACES.filter((place) => place !== 'pantry' || told.places.pantry);
  const given = { shelf, lot, told, here };
  return html`<section>
    <h2>${t('origin.more')}</h2>
    ${
      here.length > 0 &&
      html`${
          !told.recalled && html`<${Fold} title=${t('shelf.move')}><${Move} ...${given} /><//>`
        }
        <${Fold} title=${t('shelf.discard')}><${Discard} ...${given} /><//>`
    }
    ${
      app.lead &&
      html`<${Fold} title=${t('shelf.correct')}><${Correct} ...${given} places=${ever} /><//>
        ${
          !told.recalled &&
          html`<${Fold} title=${t(told.load ? 'shelf.recall' : 'shelf.recall-run')}
            ><${Recall} ...${given} codes=${codes}
          /><//>`
        }`
    }
  </section>`;
}
