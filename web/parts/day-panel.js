// What the lead does for the whole day: open boxes, set up and put right whatever there is, notes,
// closing. <${DayPanel} app=${app} onClose=${close} onThing=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { Sheet, Fold } from './sheet.js';
import { OrderForm } from './order-form.js';
import { OpenBox } from './stock.js';
import { SplitLot } from './corrections.js';
import { NoteForm } from './note.js';
import { AskFor } from './chores.js';
import { DeviceChoice } from './device-choice.js';
import { JoinCode } from './join-code.js';

/** The things of one kind, each a tap from its form, and a new one. */
function Things({ app, kind, word, onThing, ids = Object.keys(app.view[kind] ?? {}) }) {
  const open = (id) => () => onThing({ is: 'thing', kind, id });
  return html`<section class="day-things">
    <h3>${t(`set-up.${kind}`)}</h3>
    <div class="links">
      ${ids.map(
        (id) =>
          html`<button class="button" key=${id} onClick=${open(id)}>${app.view[kind][id].name}</button>`,
      )}
      <button class="button button-new" onClick=${open()}>+ ${t(`add.${word}`)}</button>
    </div>
  </section>`;
}

/** Stations that are put away, each one tap from standing ready. */
function PutAway({ app }) {
  const away = entriesOf(app.view.stations).filter(([, one]) => !one.set_up);
  if (!away.length) return null;
  return html`<section class="day-things">
    <h3>${t('station.away', { n: away.length })}</h3>
    <div class="links">
      ${away.map(
        ([id, one]) =>
          html`<button
            key=${id}
            class="button"
            onClick=${() => app.send({ order: 'set-up', station: id })}
          >
            ${t('order.set-up', { station: one.name })}
          </button>`,
      )}
    </div>
  </section>`;
}

/** The sheet; `onThing({is, kind, id})` opens the form of a thing, or another sheet. */
export function DayPanel({ app, onClose, onThing }) {
  const whole = (kind) => () => onThing({ is: 'thing', kind });
  const things = { app, onThing };
  return html`<${Sheet}
    app=${app}
    title=${app.view.day.name}
    sub=${app.view.day.date}
    onClose=${onClose}
  >
    <div class="panel-columns">
      <section>
        <h3>${t('box.title')}</h3>
        <${OpenBox} app=${app} />
        <${Things} ...${things} kind="lots" word="lot" />
        <${Things} ...${things} kind="supplies" word="supply" />
        <${Things} ...${things} kind="products" word="product" />
        <${Fold} title=${t('split.boxes')}><${SplitLot} app=${app} /><//>
      </section>
      <section>
        <section class="day-things">
          <h3>${t('set-up.day')}</h3>
          <div class="links">
            <button class="button" onClick=${whole('day')}>${t('lead.day-settings')}</button>
            <button class="button" onClick=${whole('ages')}>${t('set-up.ages')}</button>
          </div>
        </section>
        <${PutAway} app=${app} />
        <${Things} ...${things} kind="stations" word="station" ids=${[]} />
        <${Things} ...${things} kind="helpers" word="helper" ids=${[]} />
        <${Things} ...${things} kind="resources" word="resource" />
        <h3>${t('day.more')}</h3>
        <nav class="links">
          <a class="button" href=${`#/day/${app.day}/set-up`}>${t('nav.set-up')}</a>
          <a class="button" href=${`#/day/${app.day}/wall`}>${t('nav.wall')}</a>
          <a class="button" href=${`#/day/${app.day}/helper`}>${t('nav.helper')}</a>
          <a class="button" href=${`#/day/${app.day}/seals`}>${t('nav.seals')}</a>
          <a class="button" href=${`#/day/${app.day}/gather`}>${t('nav.gather')}</a>
          <a class="button" href=${`#/day/${app.day}/paper`}>${t('nav.paper')}</a>
          <a class="button" href=${`/api/days/${app.day}/next-day.ics`} download
            >${t('nav.next-day')}</a
          >
          <a class="button" href=${`#/day/${app.day}/look-back`}>${t('nav.look-back')}</a>
          <button class="button way-in" onClick=${() => onThing({ is: 'devices' })}>
            ${t('access.title')}
          </button>
          <a class="button" href="#/">${t('nav.days')}</a>
        </nav>
        <${Fold} title=${t('join.code')}><${JoinCode} day=${app.day} fresh=${app.doors} /><//>
        <${Fold} title=${t('ask.title')}><${AskFor} app=${app} /><//>
        <${Fold} title=${t('note.title')}><${NoteForm} app=${app} on=${{ about: 'day' }} /><//>
        <label class="check"
          ><input
            type="checkbox"
            checked=${app.sound}
            onChange=${() => app.setSound(!app.sound)}
          /><span>${t('sound')}</span></label
        >
        <${DeviceChoice} app=${app} />
        ${
          app.view.day.phase === 'open' &&
          html`<${Fold} title=${t('day.close')}>
            <${OrderForm}
              app=${app}
              danger=${true}
              button=${t('day.close-yes')}
              build=${() => ({ order: 'close-day' })}
            >
              <p>${t('day.close-why')}</p><//
            ><//
          >`
        }
      </section>
    </div><//
  >`;
}
