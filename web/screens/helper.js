// A helper's own screen: the station they sit at with one big action, or the seats to choose from.
// Not for corrections across the kitchen; those are the lead's.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { waitingAt } from '../core/flow.js';
import { helperSays } from '../core/helper-says.js';
import { movesOf } from '../core/outlook.js';
import { ownTimers } from '../core/own-timers.js';
import { breakLeft } from '../core/pause.js';
import { waitingNow } from '../core/taps.js';
import { choresOf } from '../core/warnings.js';
import { Frame } from '../parts/frame.js';
import { Person } from '../parts/people.js';
import { Sign } from '../parts/signs.js';
import { ClaimList } from '../parts/claim.js';
import { Tally } from '../parts/tally.js';
import { ChoreList } from '../parts/chores.js';
import { Cautions } from '../parts/cautions.js';
import { CautionCards } from '../parts/caution-cards.js';
import { TimerLine } from '../parts/timers.js';
import { WorkPicture } from '../parts/pictures.js';
import { Speaker } from '../parts/voice.js';
import { answer } from '../parts/tap-sounds.js';
import { keptBreak, Resting } from '../parts/hand/break.js';
import { Notice } from '../parts/hand/notice.js';
import { HandPicture, Tile } from '../parts/hand/tile.js';
import { isReadTo, seesPictures, ThisDevice } from '../parts/hand/this-device.js';
import { OwnAhead } from '../parts/outlook/own-ahead.js';
import { MovedAway, OthersHere } from '../parts/shared-device.js';
import { later } from '../parts/later.js';
import { Still } from '../parts/still.js';

// Not needed for the first look.
const Canners = later(
  () => import('../parts/canner/canners.js').then((found) => found.Canners),
  { soon: true },
);
const Pots = later(() => import('../parts/pots.js').then((found) => found.Pots), { soon: true });
const HelperSheet = later(
  () => import('../parts/helper-sheet.js').then((found) => found.HelperSheet),
  { soon: true },
);

function Work({ app, stationId, helperId }) {
  const { nature } = app.view.stations[stationId];
  if (nature?.is === 'vessel')
    return html`<${Pots} app=${app} stationId=${stationId} helperId=${helperId} />`;
  if (nature?.is === 'canner')
    return html`<${Canners} app=${app} stationId=${stationId} helperId=${helperId} />`;
  return html`<${Tally} app=${app} stationId=${stationId} helperId=${helperId} />`;
}

function StationHead({ app, helper, helperId, speaker }) {
  const station = app.view.stations[helper.station];
  const beside = station.seated?.[helperId]?.beside;
  const nameOf = (id) => app.view.helpers[id]?.name ?? id;
  return html`<div class="my-station">
    <${WorkPicture} work=${station.work} size="52" />
    <div>
      <h2>${station.name}</h2>
      ${
        beside &&
        html`<p class="soft beside">
          <${Sign} name=${app.view.helpers[beside]?.sign} of=${nameOf(beside)} size="24" />
          ${t('helper.beside', { adult: nameOf(beside) })}
        </p>`
      }
      ${
        helper.beside_of?.length > 0 &&
        html`<p class="soft">
          ${t('helper.beside-of', { children: helper.beside_of.map(nameOf).join(', ') })}
        </p>`
      }
    </div>
    ${speaker}
  </div>`;
}

/** Timers at a seat without pots of its own, and of pots minded from here. */
function MyTimers({ app, helperId, hand }) {
  const { here, mine } = ownTimers(app.view, app.timers, helperId);
  const list = hand ? [...here, ...mine] : mine;
  if (!list.length) return null;
  return html`<ul class="timers my-timers" aria-label=${t('helper.timers')}>
    ${list.map(
      (timer) =>
        html`<${TimerLine}
          key=${timer.key}
          view=${app.view}
          timer=${timer}
          here=${here.includes(timer)}
        />`,
    )}
  </ul>`;
}

/** Everything a helper can do beside the work itself, one tap each. */
function Actions({ app, helperId, seated, chores = seated, onSheet }) {
  const open = choresOf(app.view).filter(([, chore]) => !chore.taken_by).length;
  const going = (order) =>
    app.pending(({ command }) => command.order === order && command.helper === helperId);
  const say = (order, words) => (going(order) ? t('pending.sending') : words);
  const send = (order) => () => {
    answer(app, 'sent');
    app.send({ order, helper: helperId });
  };
  const [pause, leave, home] = [
    say('take-break', t('helper.break')),
    say('leave', t('helper.leave')),
    say('go-home', t('helper.go-home')),
  ];
  return html`<${Still} of=${[seated, chores, open, pause, leave, home]}><div class="helper-actions">
    ${
      seated &&
      html`<${Tile}
        picture="soft"
        words=${t('helper.too-soft')}
        onTap=${() => onSheet('soft')}
      />`
    }
    <${Tile} picture="need" words=${t('helper.need')} onTap=${() => onSheet('ask')} />
    ${
      seated &&
      html`<${Tile}
        picture="else"
        words=${t('helper.change')}
        onTap=${() => onSheet('move')}
      />`
    }
    ${
      chores &&
      html`<${Tile}
        picture="chores"
        words=${t('helper.chores', { n: open })}
        onTap=${() => onSheet('chores')}
      />`
    }
    <${Tile}
      picture="cup"
      words=${pause}
      onTap=${() => onSheet('break')}
    />
    ${
      seated
        ? html`<${Tile}
            picture="leave"
            words=${leave}
            onTap=${send('leave')}
          />`
        : html`<${Tile}
            picture="home"
            words=${home}
            onTap=${send('go-home')}
          />`
    }
  </div><//>`;
}

function Seated({ app, helper, helperId, speaker, onSheet }) {
  const stationId = helper.station;
  const station = app.view.stations[stationId];
  const hand = station.nature?.is === 'hand' || station.nature?.is === 'hold';
  return html`<${StationHead} app=${app} helper=${helper} helperId=${helperId} speaker=${speaker} />
    <${CautionCards} app=${app} helperId=${helperId} stationId=${stationId} />
    <${OwnAhead} app=${app} helperId=${helperId} onGo=${() => onSheet('move')} />
    <${Work} key=${stationId} app=${app} stationId=${stationId} helperId=${helperId} />
    <${MyTimers} app=${app} helperId=${helperId} hand=${hand} />
    <${Actions} app=${app} helperId=${helperId} seated=${true} onSheet=${onSheet} />
    <${Cautions} station=${station} />`;
}

function Away({ app, helper, helperId, speaker }) {
  if (helper.presence === 'resting')
    return html`${speaker}<${Resting} app=${app} helper=${helper} helperId=${helperId} />`;
  const order = { order: 'arrive', helper: helperId };
  const coming = app.pending(
    ({ command }) => command.order === order.order && command.helper === helperId,
  );
  return html`${speaker}
    <div class="away">
      <p>${t(`helper.is-${helper.presence}`, { name: helper.name })}</p>
      <button class="act act-small" disabled=${coming} onClick=${() => app.send(order)}>
        <${HandPicture} of="happy" size="64" />
        <span class="act-word">${coming ? t('pending.sending') : t('helper.arrive')}</span>
      </button>
    </div>`;
}

function Standing({ app, helperId, speaker, pictures, onSheet }) {
  return html`<${OwnAhead} app=${app} helperId=${helperId} />
    <div class="ask-line">
      <h2 class="ask-title">${t('claim.title')}</h2>
      ${speaker}
    </div>
    <${ClaimList} app=${app} helperId=${helperId} pictures=${pictures} />
    <${MyTimers} app=${app} helperId=${helperId} hand=${true} />
    ${
      !pictures &&
      html`<h2 class="ask-title">${t('chore.title')}</h2>
        <${ChoreList} app=${app} helperId=${helperId} />`
    }
    <${Actions} app=${app} helperId=${helperId} chores=${pictures} onSheet=${onSheet} />`;
}

/** What this helper is asked now, to be heard on a tap or, where chosen, by itself. */
function MySpeaker({ app, helper, helperId }) {
  const kept = keptBreak(app, helperId);
  const left = breakLeft(kept, app.now);
  const moves = app.ahead ? movesOf(app.view, app.ahead, app.aside) : [];
  const station = app.view.stations[helper.station];
  const deep = station && waitingAt(station)[0];
  const one = deep && waitingNow(app.view, app.entries, helper.station, deep);
  const { asks, says } = helperSays({
    view: app.view,
    ahead: app.ahead,
    helperId,
    moves,
    one,
    over: left !== null && left <= 0,
  });
  return html`<${Speaker} asks=${asks} says=${says} aloud=${isReadTo(app, helper, helperId)} />`;
}

function Known({ app, helper }) {
  const { helperId } = app;
  const [sheet, setSheet] = useState(null);
  const [notice, setNotice] = useState(null);
  const pictures = seesPictures(app, helper, helperId);
  const Part = helper.presence !== 'here' ? Away : helper.station ? Seated : Standing;
  const speaker = html`<${MySpeaker} app=${app} helper=${helper} helperId=${helperId} />`;
  const tools = html`<${OthersHere} app=${app} /><button
      class="button button-quiet"
      onClick=${() => setSheet('device')}
    >
      ${t('helper.device')}
    </button>
    <a class="button button-quiet" href=${`#/day/${app.day}/join`}>${t('helper.not-me')}</a>
    ${
      app.lead &&
      html`<a class="button button-quiet" href=${`#/day/${app.day}/lead`}>${t('nav.lead')}</a>`
    }`;
  return html`<${Frame}
    app=${app}
    kind=${`narrow helper ${pictures ? 'with-pictures' : ''}`}
    tools=${tools}
    title=${html`<${Person} helper=${helper} />`}
  >
    <${Part}
      app=${app}
      helper=${helper}
      helperId=${helperId}
      pictures=${pictures}
      speaker=${speaker}
      onSheet=${setSheet}
    />
    <${Notice} app=${app} notice=${notice} onClose=${() => setNotice(null)} />
    ${
      sheet &&
      sheet !== 'device' &&
      html`<${HelperSheet}
        app=${app}
        sheet=${sheet}
        helperId=${helperId}
        stationId=${helper.station}
        pictures=${pictures}
        onSent=${setNotice}
        onClose=${() => setSheet(null)}
      />`
    }
    ${
      sheet === 'device' &&
      html`<${ThisDevice}
        app=${app}
        helper=${helper}
        helperId=${helperId}
        onClose=${() => setSheet(null)}
      />`
    }<//
  >`;
}

/** The screen at `#/day/ID/helper`. */
export function HelperScreen({ app }) {
  const helper = app.view.helpers?.[app.helperId];
  if (helper) return html`<${Known} key=${app.helperId} app=${app} helper=${helper} />`;
  if (app.view.helpers?.[app.users.moved]) {
    return html`<${Frame} app=${app} title=${app.view.day.name} kind="narrow"
      ><${MovedAway} app=${app}
    /><//>`;
  }
  return html`<${Frame} app=${app} title=${app.view.day.name} kind="narrow"
    ><p>${t('helper.who')}</p>
    <a class="button button-act" href=${`#/day/${app.day}/join`}>${t('join.title')}</a><//
  >`;
}
