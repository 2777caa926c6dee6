// What the lead does for the whole day: open boxes, supplies, notes, the cut-off, closing.
// <${DayPanel} app=${app} onClose=${close} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { Sheet, Fold } from './sheet.js';
import { OrderForm } from './order-form.js';
import { OpenBox, SupplyForms } from './stock.js';
import { SplitLot } from './corrections.js';
import { NoteForm } from './note.js';
import { AskFor } from './chores.js';
import { JoinCode } from './join-code.js';

/** The sheet. */
export function DayPanel({ app, onClose }) {
  const put = entriesOf(app.view.stations).filter(([, one]) => !one.set_up);
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
        <h3>${t('supply.title')}</h3>
        ${entriesOf(app.view.supplies).map(
          ([id, supply]) =>
            html`<${Fold} key=${id} title=${supply.name}>
              <${SupplyForms} app=${app} id=${id}
            /><//>`,
        )}
        <${Fold} title=${t('split.boxes')}><${SplitLot} app=${app} /><//>
      </section>
      <section>
        <h3>${t('day.more')}</h3>
        <nav class="links">
          <a class="button" href=${`#/day/${app.day}/set-up`}>${t('nav.set-up')}</a>
          <a class="button" href=${`#/day/${app.day}/wall`}>${t('nav.wall')}</a>
          <a class="button" href=${`#/day/${app.day}/helper`}>${t('nav.helper')}</a>
          <a class="button" href=${`#/day/${app.day}/seals`}>${t('nav.seals')}</a>
          <a class="button" href=${`#/day/${app.day}/look-back`}>${t('nav.look-back')}</a>
          <a class="button" href="#/">${t('nav.days')}</a>
        </nav>
        ${
          put.length > 0 &&
          html`<${Fold} title=${t('station.away', { n: put.length })}>
            <ul class="links">
              ${put.map(
                ([id, one]) =>
                  html`<li key=${id}>
                    <button
                      class="button"
                      onClick=${() => app.send({ order: 'set-up', station: id })}
                    >
                      ${t('order.set-up', { station: one.name })}
                    </button>
                  </li>`,
              )}
            </ul><//
          >`
        }
        <${Fold} title=${t('join.code')}><${JoinCode} /><//>
        <${Fold} title=${t('ask.title')}><${AskFor} app=${app} /><//>
        <${Fold} title=${t('note.title')}><${NoteForm} app=${app} on=${{ about: 'day' }} /><//>
        <label class="check"
          ><input
            type="checkbox"
            checked=${app.sound}
            onChange=${() => app.setSound(!app.sound)}
          /><span>${t('sound')}</span></label
        >
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
