// Everything a lead can put right at one station. <${StationPanel} app=${app} id="wash"
// onClose=${close} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { Sheet, Fold } from './sheet.js';
import { Waiting } from './waiting.js';
import { Tally } from './tally.js';
import { Pots } from './pots.js';
import { Canners } from './canner/canners.js';
import { GiveSeat, Seat } from './station-seats.js';
import { Corrections, SetUpForm } from './station-corrections.js';
import { AskFor } from './chores.js';
import { NoteForm } from './note.js';
import { ThingFold } from './thing-sheet.js';
import { StationAhead } from './outlook/station-ahead.js';

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
          station.nature?.is === 'vessel' &&
          html`<h3>${t('station.waiting')}</h3>
            <${Waiting} app=${app} station=${station} scale=${0.8} />`
        }
      </section>
      <section>
        <${StationAhead} app=${app} id=${id} />
        <h3>${t('station.people')}</h3>
        <ul>
          ${seated.map(
            ([helperId]) =>
              html`<${Seat} key=${helperId} app=${app} helperId=${helperId} stationId=${id} />`,
          )}
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
        <${ThingFold} app=${app} kind="stations" id=${id} />
      </section></div
  ><//>`;
}
