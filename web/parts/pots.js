// The pots of a station: fill, heat on, stirred and how thick, done. Each with its countdowns.
// <${Pots} app=${app} stationId="cook" helperId="maren" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { measured } from '../core/format.js';
import { entriesOf, waitingAt } from '../core/flow.js';
import { adultsHere } from '../core/seats.js';
import { ChoiceField } from './fields.js';
import { Mark } from './pictures.js';
import { Cooking } from './pot-cooking.js';
import { ScrapPot } from './pot-scrap.js';

const order = (name, { station, pot }, more) => ({ order: name, station, pot, ...more });

function Empty({ app, where, pot }) {
  const station = app.view.stations[where.station];
  const wash = entriesOf(app.view.chores).find(
    ([, { kind }]) =>
      kind?.about === 'dirty-pot' && kind.station === where.station && kind.pot === where.pot,
  );
  if (pot.dirty) {
    return html`<p class="note-line"><${Mark} of="warn" />${t('pot.dirty')}</p>
      ${
        wash &&
        html`<button
          class="button"
          onClick=${() =>
            app.send({
              order: 'finish-chore',
              chore: wash[0],
              ...(where.helper && { helper: where.helper }),
            })}
        >
          ${t('pot.washed')}
        </button>`
      }`;
  }
  const list = waitingAt(station);
  if (!list.length) return html`<p class="soft">${t('pot.nothing-waits')}</p>`;
  return html`<div class="row">
    ${list.map(
      (one) =>
        html`<button
          key=${one.product}
          class="button button-act"
          onClick=${() => app.send(order('fill-pot', where, { product: one.product }))}
        >
          ${t('pot.fill', { product: app.view.products[one.product]?.name })}
        </button>`,
    )}
  </div>`;
}

function Filled({ app, where }) {
  const adults = adultsHere(app.view, where.helper);
  const [minder, setMinder] = useState(where.helper ?? adults[0]);
  const [backup, setBackup] = useState(undefined);
  const people = entriesOf(app.view.helpers)
    .filter(([, one]) => one.presence === 'here')
    .map(([id, one]) => [id, one.name]);
  const start = () =>
    app.send({
      order: 'start-pot',
      station: where.station,
      pot: where.pot,
      ...(minder && { minder }),
      ...(backup && { backup }),
    });
  return html`<div class="pair">
      <${ChoiceField}
        label=${t('pot.minder')}
        value=${minder}
        onValue=${setMinder}
        options=${people}
        empty=${t('pot.nobody')}
      />
      <${ChoiceField}
        label=${t('pot.backup')}
        value=${backup}
        onValue=${setBackup}
        options=${people}
        empty=${t('pot.nobody')}
      />
    </div>
    <div class="row">
      <button class="button button-act" onClick=${start}>${t('pot.start')}</button>
      <button
        class="button"
        onClick=${() => app.send({ order: 'empty-pot', station: where.station, pot: where.pot })}
      >
        ${t('pot.empty')}
      </button>
    </div>
    <${ScrapPot} app=${app} where=${where} />`;
}

const PHASES = { empty: Empty, filled: Filled, cooking: Cooking };

/** Every pot of the station. */
export function Pots({ app, stationId, helperId }) {
  const station = app.view.stations[stationId];
  return html`<section class="pots" aria-label=${t('pot.title')}>
    ${entriesOf(station.pots).map(([potId, pot]) => {
      const Phase = PHASES[pot.phase] ?? Empty;
      const where = { station: stationId, pot: potId, helper: helperId };
      const inside =
        pot.product &&
        [
          app.view.products[pot.product]?.name ?? pot.product,
          measured(pot.amount, pot.measure),
        ].join(' · ');
      return html`<article class="card" key=${potId}>
        <h3>${pot.name}</h3>
        <p class="soft">${t(`pot.phase.${pot.phase}`)}${inside ? ` · ${inside}` : ''}</p>
        <${Phase} app=${app} where=${where} pot=${pot} />
      </article>`;
    })}
  </section>`;
}
