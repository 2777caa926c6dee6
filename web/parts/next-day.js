// What is left to do on the day after: open chores of the shelf, and the reminder for a calendar.
// <${NextDay} app=${app} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { sealChecks } from '../core/seals.js';

/** Nothing while no load is lifted. */
export function NextDay({ app }) {
  const shelve = entriesOf(app.view.chores).filter(([, one]) => one.kind?.about === 'shelve');
  if (!shelve.length && !sealChecks(app.view, app.now).length) return null;
  const going = (id) => app.pending(({ command }) => command.chore === id);
  return html`<section class="card no-print" aria-label=${t('next-day.title')}>
    <h2>${t('next-day.title')}</h2>
    <ul class="chores">
      ${shelve.map(
        ([id, chore]) =>
          html`<li key=${id} class="chore">
            <span class="chore-words"><strong>${chore.text}</strong></span>
            <button
              class="button"
              disabled=${going(id)}
              onClick=${() =>
                app.send({
                  order: 'finish-chore',
                  chore: id,
                  ...(app.view.helpers?.[app.helperId] && { helper: app.helperId }),
                })}
            >
              ${going(id) ? t('pending.sending') : t('chore.finish')}
            </button>
          </li>`,
      )}
    </ul>
    <p>${t('next-day.about')}</p>
    <a class="button" href=${`/api/days/${app.day}/next-day.ics`} download
      >${t('next-day.calendar')}</a
    >
  </section>`;
}
