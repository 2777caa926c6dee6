// Loads whose seals are to be checked, as a short list with the way there.
// <${SealsDue} view=${view} now=${now} day="pears" />

import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { sealChecks } from '../../core/seals.js';
import { Mark } from '../pictures.js';

const MARK = { cooling: 'calm', due: 'soon', late: 'due' };

/** One line for each load; nothing where nothing cools. */
export function SealsDue({ view, now, day }) {
  const list = sealChecks(view, now);
  if (!list.length) return null;
  return html`<ul class="seals-due">
      ${list.map(
        ({ id, number, jars, from, by, state }) =>
          html`<li key=${id} class=${`seals-line seals-is-${state}`}>
            <${Mark} of=${MARK[state]} size="18" />
            <span
              >${t(`seals.due.${state}`, {
                number,
                n: jars,
                at: timeOfDay(state === 'cooling' ? from : by),
              })}</span
            >
          </li>`,
      )}
    </ul>
    <a class="button" href=${`#/day/${day}/seals`}>${t('nav.seals')}</a>`;
}

/** The same for a day that is not followed, open or closed: asks for its view once. */
export function SealsOfDay({ app, day }) {
  const [found, setFound] = useState(null);
  useEffect(() => {
    let gone = false;
    app.get(`/api/days/${day}/view`).then((answer) => {
      if (!gone && answer.status === 200) setFound(answer.body);
    });
    return () => {
      gone = true;
    };
  }, [day]);
  if (!found) return null;
  const due = html`<${SealsDue} view=${found.view} now=${found.clock.now} day=${day} />`;
  return html`<div class="day-seals">${due}</div>`;
}
