// The days on this server, open ones first, and the way to a new one.

import { html, useEffect } from '../ui.js';
import { given, t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { Footer } from '../parts/frame.js';
import { SealsOfDay } from '../parts/seals/seals-due.js';
import { Pile } from '../parts/pile.js';
import { Mark } from '../parts/pictures.js';

/** So many days, the newest, are asked whether jars of theirs wait for the seal check. */
const ASKED_MOST = 6;
/** A day that the lead begins shows by itself after this. */
const LOOK_EVERY_MS = 4000;

function inOrder(days) {
  const rank = (day) => (day.phase === 'open' ? 0 : 1);
  return entriesOf(days).sort(
    ([, a], [, b]) =>
      rank(a) - rank(b) ||
      String(b.date).localeCompare(String(a.date)) ||
      (b.opened_at ?? 0) - (a.opened_at ?? 0),
  );
}

function Day({ app, id, day, asked }) {
  const at = (screen) => `#/day/${id}/${screen}`;
  const open = day.phase === 'open';
  return html`<li class=${open ? 'day day-open' : 'day'}>
    <div class="day-words">
      <h2>${given(day.name)}</h2>
      <p class="soft">${day.date} · ${t(`day.phase.${day.phase}`)}</p>
    </div>
    <div class="row">
      ${
        open &&
        html`<a class="button button-act" href=${at('join')}>${t('days.join')}</a>
          ${app.lead && html`<a class="button" href=${at('lead')}>${t('nav.lead')}</a>`}
          <a class="button" href=${at('wall')}>${t('nav.wall')}</a>`
      } <a class="button" href=${at('seals')}>${t('nav.seals')}</a>
      <a class="button" href=${at('labels')}>${t('labels.title')}</a>
      <a class="button" href=${at('look-back')}>${t('nav.look-back')}</a>
    </div>
    ${asked && html`<${SealsOfDay} app=${app} day=${id} />`}
  </li>`;
}

/** The screen at `#/`. */
export function DaysScreen({ app }) {
  const list = inOrder(app.days);
  const open = list.some(([, day]) => day.phase === 'open');
  useEffect(() => {
    const looking = setInterval(() => !document.hidden && app.loadDays(), LOOK_EVERY_MS);
    return () => clearInterval(looking);
  }, []);
  return html`<div class="frame narrow days">
    <header class="top">
      <div class="top-words">
        <h1>${t('name')}</h1>
        <p class="top-sub">${t('days.sub')}</p>
      </div>
      <nav class="top-tools" aria-label=${t('nav.label')}>
        <a class="button" href="#/shelf">${t('nav.shelf')}</a>
      </nav>
      <span class="shelf"
        ><${Pile} carriers=${3000} name="bowl" scale=${1.3} /><${Pile}
          carriers=${1000}
          name="pot"
          scale=${1.5} />
        <${Pile} carriers=${4000} name="jar" scale=${1.5}
      /></span>
    </header>
    <main class="main">
      ${
        app.daysTrouble &&
        html`<p class="line line-down" role="alert">
          <${Mark} of="cut" />${t('days.unreachable')}
        </p>`
      }
      ${app.days === null && !app.daysTrouble && html`<p class="soft">${t('days.loading')}</p>`}
      ${
        app.days !== null &&
        !open &&
        html`<div class="empty">
          <h2>${t(list.length === 0 ? 'days.none' : 'days.none-open')}</h2>
          <p>${t(app.lead ? 'days.none-lead' : 'days.none-wait')}</p>
        </div>`
      }
      <ul class="day-list">
        ${list.map(
          ([id, day], index) =>
            html`<${Day} key=${id} app=${app} id=${id} day=${day} asked=${index < ASKED_MOST} />`,
        )}
      </ul>
      <a class="button button-wide" href="#/prepare">${t('nav.prepare')}</a>
      ${
        app.lead
          ? html`<a class="button button-act button-wide" href="#/begin">${t('days.begin')}</a>
              <a class="button button-wide" href="#/learned">${t('nav.learned')}</a>
              <a class="button button-quiet" href="#/carry">${t('nav.carry')}</a>`
          : app.me && html`<p class="soft">${t('days.lead-how')}</p>`
      }
    </main>
    <${Footer} app=${app} />
  </div>`;
}
