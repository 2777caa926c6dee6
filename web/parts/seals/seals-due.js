// Loads whose seals are to be checked, as a short list.
// <${SealsDue} view=${view} now=${now} day="pears" /> <${SealsOfDay} app=${app} day="pears" />

import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { whenWords } from '../../core/format.js';
import { sealChecks } from '../../core/seals.js';
import { Mark } from '../pictures.js';

const MARK = { cooling: 'calm', due: 'soon', late: 'due' };

/** One line for each load, or for those that only cool. */
function Lines({ list, now }) {
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
              at: whenWords(state === 'cooling' ? from : by, now),
            })}</span
          >
        </li>`,
    )}
  </ul>`;
}

/** The lead's short list: what is due presses already, so only what cools is named again. */
export function SealsDue({ view, now, day }) {
  const list = sealChecks(view, now);
  if (!list.length) return null;
  return html`<${Lines} list=${list.filter(({ state }) => state === 'cooling')} now=${now} />
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
  const list = found ? sealChecks(found.view, found.clock.now) : [];
  if (!list.length) return null;
  return html`<div class="day-seals"><${Lines} list=${list} now=${found.clock.now} /></div>`;
}
