// Everything a lead can do for one person. <${PersonPanel} app=${app} id="bo" onClose=${close} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { adultsHere, mayAt } from '../core/seats.js';
import { Sheet, Fold } from './sheet.js';
import { ChoiceField } from './fields.js';
import { OrderForm } from './order-form.js';
import { ClaimList } from './claim.js';
import { PersonChoice } from './people.js';
import { ThingFold } from './thing-sheet.js';
import { Rates } from './outlook/rates.js';

const needsAdult = (view, id, station) => mayAt(view.helpers[id], station) === 'with-adult';

function Swap({ app, id }) {
  const { view } = app;
  const mine = view.helpers[id].station;
  const others = entriesOf(view.helpers).filter(
    ([other, one]) => other !== id && one.station && one.station !== mine,
  );
  const [other, setOther] = useState(undefined);
  const [besideOne, setBesideOne] = useState(undefined);
  const [besideOther, setBesideOther] = useState(undefined);
  const theirs = other && view.helpers[other]?.station;
  const adults = (who) => adultsHere(view, who).map((one) => [one, view.helpers[one].name]);
  const build = () =>
    other
      ? {
          order: 'swap',
          one: id,
          other,
          ...(besideOne && { beside_one: besideOne }),
          ...(besideOther && { beside_other: besideOther }),
        }
      : t('person.swap-say');
  return html`<${OrderForm} app=${app} button=${t('person.swap')} build=${build}>
    <${ChoiceField}
      label=${t('person.swap-with')}
      value=${other}
      onValue=${setOther}
      empty=${t('choose')}
      options=${others.map(([who, { name, station }]) => [
        who,
        `${name} (${view.stations[station]?.name})`,
      ])}
    />
    ${
      theirs &&
      needsAdult(view, id, theirs) &&
      html`<${ChoiceField}
        label=${t('person.beside', { helper: view.helpers[id].name })}
        value=${besideOne}
        onValue=${setBesideOne}
        options=${adults(id)}
        empty=${t('choose')}
      />`
    }
    ${
      theirs &&
      needsAdult(view, other, mine) &&
      html`<${ChoiceField}
        label=${t('person.beside', { helper: view.helpers[other].name })}
        value=${besideOther}
        onValue=${setBesideOther}
        options=${adults(other)}
        empty=${t('choose')}
      />`
    }<//
  >`;
}

function StayBeside({ app, id }) {
  const stay = (adult) => app.send({ order: 'stay-beside', helper: id, adult });
  return html`<${PersonChoice}
    app=${app}
    ids=${adultsHere(app.view, id)}
    onPick=${stay}
    label=${t('person.stay-beside')}
  />`;
}

function Presence({ app, id, helper }) {
  const inside = ['here', 'resting'].includes(helper.presence);
  const give = (order, more) => () => app.send({ order, helper: id, ...more });
  const going = app.pending(({ command }) => command.helper === id);
  const button = (order, words, more) =>
    html`<button class="button" disabled=${going} onClick=${give(order, more)}>${words}</button>`;
  return html`<div class="row">
    ${['expected', 'gone'].includes(helper.presence) && button('arrive', t('person.arrive'))}
    ${helper.presence === 'resting' && button('end-break', t('helper.rested'))}
    ${helper.station && button('leave', t('helper.leave'))}
    ${helper.presence === 'here' && button('take-break', t('helper.break'))}
    ${inside && button('go-home', t('person.go-home'))}
    ${inside && button('go-home', t('person.go-home-now'), { hurry: true })}
  </div>`;
}

/** The sheet. */
export function PersonPanel({ app, id, onClose }) {
  const helper = app.view.helpers?.[id];
  if (!helper) return null;
  const station = app.view.stations[helper.station];
  const sub = [
    t(`presence.${helper.presence}`),
    station?.name,
    t('person.age', { age: helper.age }),
  ]
    .filter(Boolean)
    .join(' · ');
  const beside = station?.seated?.[id]?.beside;
  return html`<${Sheet} app=${app} title=${helper.name} sub=${sub} onClose=${onClose}>
    <${Presence} app=${app} id=${id} helper=${helper} />
    <${Rates} app=${app} id=${id} />
    ${helper.station &&
      html`<${Fold} title=${t('person.swap')}><${Swap} app=${app} id=${id} /><//>`}
    ${beside &&
      html`<${Fold} title=${t('person.stay-beside')}><${StayBeside} app=${app} id=${id} /><//>`}
    ${
      helper.presence === 'here' &&
      html`<h3>${t('claim.title-of', { name: helper.name })}</h3>
        <${ClaimList} app=${app} helperId=${id} />`
    }
    <${ThingFold} app=${app} kind="helpers" id=${id} /><//
  >`;
}
