// Everything a lead can put right at one station. <${StationPanel} app=${app} id="wash"
// onClose=${close} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf, productsAt, waitingAt } from '../core/flow.js';
import { adultsHere, helpersInOrder, mayAt, seatOrder } from '../core/seats.js';
import { Sheet, Fold } from './sheet.js';
import { ChoiceField } from './fields.js';
import { OrderForm } from './order-form.js';
import { Person, PersonChoice } from './people.js';
import { Waiting } from './waiting.js';
import { Tally } from './tally.js';
import { Pots } from './pots.js';
import { Canners } from './load.js';
import { Divert, Recount, SendBack, SplitLot } from './corrections.js';
import { AskFor } from './chores.js';
import { NoteForm } from './note.js';

function Seat({ app, helperId, stationId }) {
  const helper = app.view.helpers[helperId];
  const beside = app.view.stations[stationId].seated[helperId]?.beside;
  const note = beside && t('helper.beside', { adult: app.view.helpers[beside]?.name ?? beside });
  return html`<li class="seat-line">
    <${Person} helper=${helper} note=${note} />
    <span class="row"
      ><button class="button" onClick=${() => app.send({ order: 'leave', helper: helperId })}>
        ${t('helper.leave')}
      </button>
      <button class="button" onClick=${() => app.send({ order: 'take-break', helper: helperId })}>
        ${t('helper.break')}
      </button></span
    >
  </li>`;
}

/** A seat given by the lead; asks for the adult where the house rule does. */
function GiveSeat({ app, stationId }) {
  const [helper, setHelper] = useState(null);
  const { view } = app;
  const free = helpersInOrder(view)
    .filter(
      ([id, one]) =>
        one.presence === 'here' && one.station !== stationId && mayAt(one, stationId) !== 'never',
    )
    .map(([id]) => id);
  const give = (id, beside) => {
    app.send(seatOrder(view.helpers[id], id, stationId, beside));
    setHelper(null);
  };
  const pick = (id) =>
    mayAt(view.helpers[id], stationId) === 'with-adult' ? setHelper(id) : give(id);
  if (helper) {
    return html`<p>
        ${t('claim.which-adult', {
          helper: view.helpers[helper].name,
          station: view.stations[stationId].name,
        })}
      </p>
      <${PersonChoice}
        app=${app}
        ids=${adultsHere(view, helper)}
        onPick=${(adult) => give(helper, adult)}
        label=${t('claim.with-adult')}
      />`;
  }
  return html`<${PersonChoice}
    app=${app}
    ids=${free}
    onPick=${pick}
    label=${t('station.give-seat')}
  />`;
}

function Corrections({ app, stationId }) {
  const list = waitingAt(app.view.stations[stationId]);
  const all = productsAt(app.view, stationId);
  const [picked, setProduct] = useState(undefined);
  const product = all.includes(picked) ? picked : (list[0]?.product ?? all[0]);
  const [fresh, setFresh] = useState(0);
  if (!product) return html`<p class="soft">${t('station.no-product')}</p>`;
  const props = {
    app,
    stationId,
    product,
    onDone: () => setFresh(fresh + 1),
    key: `${product}${fresh}`,
  };
  return html`${
      all.length > 1 &&
      html`<${ChoiceField}
        label=${t('word.product')}
        value=${product}
        onValue=${setProduct}
        options=${all.map((id) => [id, app.view.products[id].name])}
      />`
    }
    <${Fold} title=${t('recount.title')}><${Recount} ...${props} /><//>
    <${Fold} title=${t('divert.title')}><${Divert} ...${props} /><//>
    <${Fold} title=${t('send-back.title')}><${SendBack} ...${props} /><//>
    <${Fold} title=${t('split.title')}><${SplitLot} ...${props} /><//>`;
}

/** Ready or put away; in the place of another where they share a table. */
export function SetUpForm({ app, stationId }) {
  const station = app.view.stations[stationId];
  const [instead, setInstead] = useState(undefined);
  if (station.set_up) {
    return html`<${OrderForm}
      app=${app}
      button=${t('station.put-away')}
      build=${() => ({ order: 'put-away', station: stationId })}
    />`;
  }
  const others = entriesOf(app.view.stations)
    .filter(([id, one]) => id !== stationId && one.set_up)
    .map(([id, one]) => [id, one.name]);
  return html`<${OrderForm}
    app=${app}
    button=${t('station.set-up')}
    build=${() => ({
      order: 'set-up',
      station: stationId,
      ...(instead && { instead_of: instead }),
    })}
  >
    <${ChoiceField}
      label=${t('station.instead')}
      value=${instead}
      onValue=${setInstead}
      options=${others}
      empty=${t('station.instead-none')}
  /><//>`;
}

function Work({ app, id }) {
  const is = app.view.stations[id].nature?.is;
  if (is === 'vessel') return html`<${Pots} app=${app} stationId=${id} />`;
  if (is === 'canner') return html`<${Canners} app=${app} stationId=${id} />`;
  return html`<${Tally} app=${app} stationId=${id} />`;
}

/** The sheet. */
export function StationPanel({ app, id, onClose }) {
  const station = app.view.stations[id];
  if (!station) return null;
  const seated = entriesOf(station.seated);
  const hand = !['vessel', 'canner'].includes(station.nature?.is);
  return html`<${Sheet}
    app=${app}
    title=${station.name}
    sub=${(station.needs ?? []).map((need) => t(`need.${need}`)).join(' · ')}
    onClose=${onClose}
  >
    <div class="panel-columns">
      <section>
        <h3>${t('station.work')}</h3>
        <${Work} app=${app} id=${id} /> ${
          !hand &&
          html`<h3>${t('station.waiting')}</h3>
            <${Waiting} app=${app} station=${station} scale=${0.8} />`
        }
      </section>
      <section>
        <h3>${t('station.people')}</h3>
        <ul>
          ${seated.map(([helperId]) =>
            html`<${Seat} key=${helperId} app=${app} helperId=${helperId} stationId=${id} />`)}
        </ul>
        ${
          station.free > 0
            ? html`<${Fold} title=${t('station.give-seat')}
                ><${GiveSeat} app=${app} stationId=${id}
              /><//>`
            : html`<p class="soft">${t(station.seats === 0 ? 'seat.none' : 'claim.full')}</p>`
        }
        <h3>${t('station.put-right')}</h3>
        <${Corrections} app=${app} stationId=${id} />
        <${Fold} title=${t('ask.title')}><${AskFor} app=${app} stationId=${id} /><//>
        <${Fold} title=${t('note.title')}
          ><${NoteForm} app=${app} on=${{ about: 'station', id }}
        /><//>
        <${Fold} title=${station.set_up ? t('station.put-away') : t('station.set-up')}
          ><${SetUpForm} app=${app} stationId=${id}
        /><//>
      </section></div
  ><//>`;
}
