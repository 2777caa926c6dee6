// What is to come, in a station's box: what holds up and what sets the finish as a mark with its
// word, minutes of work, and what the station will say soon; `brief` says it by its mark alone.
// <${Marks} app=${app} id="wash" /> <${Meter} app=${app} id="wash" /> <${Says} app=${app} id="a" />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { depthAt, marksOf, stationSays } from '../../core/outlook.js';
import { minutesShort, saysWords } from '../../core/outlook-words.js';
import { Mark } from '../pictures.js';

const MARK = { 'holds-up': 'neck', 'sets-finish': 'flag' };
const SAYS = {
  blocked: 'never',
  starved: 'empty',
  unstaffed: 'hand',
  dry: 'empty',
  finished: 'done',
};

/** Mark and word; nothing where the station is not special. `bare` leaves the second its mark. */
export function Marks({ app, id, narrow, bare }) {
  const marks = marksOf(app.ahead, id);
  if (!marks.length) return null;
  return html`<span class="box-marks">
    ${marks.map(
      (one, index) =>
        html`<span key=${one} class=${`box-mark box-mark-${one}`}
          ><${Mark} of=${MARK[one]} /><span class=${bare && index > 0 ? 'only-read' : ''}
            >${t(`${one}.${narrow ? 'narrow' : 'short'}`)}</span
          ></span
        >`,
    )}
  </span>`;
}

/** Minutes of work that wait. */
export function Meter({ app, id }) {
  const minutes = depthAt(app.view, app.ahead, id);
  if (minutes === null) return null;
  const short = minutesShort(minutes);
  return html`<span class="box-meter">
    <b aria-hidden="true">${short}</b>
    <span class="only-read">
      ${t('depth.work', { span: short, one: minutes < 2 ? 1 : 2 })}
    </span>
  </span>`;
}

/** One line of what the station waits for; nothing where work simply goes on. */
export function Says({ app, id, brief }) {
  const one = stationSays(app.view, app.ahead, id);
  if (!one) return null;
  const level = ['dry', 'blocked'].includes(one.says) ? 'soon' : 'calm';
  return html`<span class=${`box-timer timer-${level}`}
    ><${Mark} of=${SAYS[one.says]} /> <span class=${brief ? 'only-read' : ''}>${saysWords(one)}</span></span
  >`;
}
