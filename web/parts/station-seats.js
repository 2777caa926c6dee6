// The seats of a station as the lead gives and takes them.
// <${Seat} app=${app} helperId="bo" stationId="wash" /> <${GiveSeat} app=${app} stationId="wash" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { adultsHere, helpersInOrder, mayAt, seatOrder } from '../core/seats.js';
import { Person, PersonChoice } from './people.js';

/** Somebody's seat, with leaving and resting. */
export function Seat({ app, helperId, stationId }) {
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
export function GiveSeat({ app, stationId }) {
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
