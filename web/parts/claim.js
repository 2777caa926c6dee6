// Taking a seat: every station that stands ready, with what waits, which seats are free and why
// not where the house rule says never; with `pictures` the words are for reading aloud only.
// <${ClaimList} app=${app} helperId=${id} onDone=${close} pictures=${false} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { listed } from '../core/format.js';
import { stationsInOrder, waitingAt } from '../core/flow.js';
import { adultsHere, mayAt, seatOrder, whyNot } from '../core/seats.js';
import { WorkPicture, Mark } from './pictures.js';
import { PersonChoice } from './people.js';
import { Pile } from './pile.js';
import { Fold } from './sheet.js';
import { depthWords } from './waiting.js';
import { HandPicture } from './hand/tile.js';
import { answer } from './tap-sounds.js';
import { choicesFor } from '../core/outlook.js';
import { waitingSpoken } from '../core/outlook-words.js';

const needWords = (needs) => listed(needs.map((need) => t(`need.${need}`)));

function whyNotWords(view, helper, station) {
  const { limits, ages } = whyNot(view, helper, station);
  if (limits.length) return t('claim.own-limit', { needs: needWords(limits) });
  if (ages.length) return t('claim.age-rule', { needs: needWords(ages), age: helper.age });
  return t('claim.never');
}

/** What speaks for a station, of the board's good choices. */
function goodWords(app, helper, helperId, choice) {
  const words = [];
  if (choice.needs_hands) words.push(t('choice.needs-hands'));
  if (choice.likes)
    words.push(
      app.helperId === helperId
        ? t('choice.likes')
        : t('choice.likes-of', { name: helper.name }),
    );
  return words.join(' · ') || t('choice.good');
}

function Row({ app, helper, helperId, stationId, choice, best, onPick, pictures }) {
  const station = app.view.stations[stationId];
  const may = mayAt(helper, stationId);
  const mine = helper.station === stationId;
  const coming = app.pending(
    ({ command }) =>
      ['claim', 'switch'].includes(command.order) &&
      command.helper === helperId &&
      command.station === stationId,
  );
  const open = may !== 'never' && station.free > 0 && !mine;
  const deep = waitingAt(station)[0];
  return html`<li class=${`claim ${open ? '' : 'claim-shut'} ${best ? 'claim-best' : ''}`}>
    <button
      class=${`claim-button ${coming ? 'claim-coming' : ''}`}
      disabled=${!open}
      onClick=${() => onPick(stationId, may)}
    >
      <span class="claim-picture"
        ><${WorkPicture} work=${station.work} size=${pictures ? 64 : 44} />${
          pictures &&
          deep &&
          html`<${Pile} carriers=${deep.carriers} name=${deep.carrier?.name}
            measure=${deep.measure} rows=${3} />`
        }</span
      >
      <span class="claim-words"
        ><strong>${station.name}</strong>
        <span class="claim-detail"
          >${
            choice?.waiting_min >= 1
              ? waitingSpoken(app.view, stationId, choice.waiting_min)
              : deep
                ? t('claim.waits', { depth: depthWords(deep) })
                : t('waiting.none')
          }</span
        >
        ${
          choice &&
          html`<span class="claim-good"
            >${
              pictures
                ? html`<${HandPicture} of="happy" size="32" />`
                : html`<${Mark} of="done" size="18" />`
            }
            <span class="claim-detail">${goodWords(app, helper, helperId, choice)}</span></span
          >`
        }
        ${
          may === 'never' &&
          html`<span class="claim-why"
            ><${Mark} of="never" size="18" />
            <span class="claim-detail">${whyNotWords(app.view, helper, station)}</span></span
          >`
        }
        ${
          may === 'with-adult' &&
          html`<span class="claim-why"
            ><${Mark} of="beside" size="18" />
            <span class="claim-detail">${t('claim.with-adult')}</span></span
          >`
        }</span
      >
      <span class="claim-seats"
        >${
          coming
            ? t('pending.asking')
            : mine
              ? t(app.helperId === helperId ? 'claim.mine' : 'claim.theirs')
              : station.free > 0
                ? t('claim.free', { n: station.free })
                : t('claim.full')
        }</span
      >
    </button>
  </li>`;
}

/** All stations to choose from; a station that asks for an adult asks which. */
export function ClaimList({ app, helperId, onDone, pictures }) {
  const [asking, setAsking] = useState(null);
  const helper = app.view.helpers[helperId];
  const ids = stationsInOrder(app.view).filter(
    (id) => app.view.stations[id].set_up && app.view.stations[id].seats > 0,
  );
  const take = (station, beside) => {
    answer(app, 'sent');
    app.send(seatOrder(helper, helperId, station, beside));
    setAsking(null);
    onDone?.();
  };
  const pick = (station, may) => (may === 'with-adult' ? setAsking(station) : take(station));
  if (asking) {
    return html`<div class="claim-adult">
      <h3>
        ${t('claim.which-adult', { helper: helper.name, station: app.view.stations[asking].name })}
      </h3>
      <${PersonChoice}
        app=${app}
        ids=${adultsHere(app.view, helperId)}
        label=${t('claim.with-adult')}
        onPick=${(adult) => take(asking, adult)}
      />
      <button class="button" onClick=${() => setAsking(null)}>${t('sheet.back')}</button>
    </div>`;
  }
  const good = choicesFor(app.view, app.ahead, helperId);
  const rank = (id) => {
    const open = mayAt(helper, id) !== 'never' && app.view.stations[id].free > 0;
    const at = good.findIndex(({ station }) => station === id);
    return open ? (at < 0 ? good.length : at) : good.length + 1;
  };
  const rows = (list) => html`<ul class=${pictures ? 'claims claims-pictures' : 'claims'}>
    ${list.map(
      (id) =>
        html`<${Row}
          key=${id}
          app=${app}
          helper=${helper}
          helperId=${helperId}
          stationId=${id}
          choice=${good.find(({ station }) => station === id)}
          best=${good[0]?.station === id}
          onPick=${pick}
          pictures=${pictures}
        />`,
    )}
  </ul>`;
  const sorted = [...ids].sort((a, b) => rank(a) - rank(b));
  const never = sorted.filter((id) => mayAt(helper, id) === 'never');
  return html`${rows(sorted.filter((id) => !never.includes(id)))}
  ${
    never.length > 0 &&
    html`<${Fold} title=${t('claim.not-for', { name: helper.name, n: never.length })}
      >${rows(never)}<//
    >`
  }`;
}
