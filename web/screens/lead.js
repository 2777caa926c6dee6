// The lead's screen: the whole kitchen at once, with everything that can be put right one tap
// away. Not for setting the kitchen up.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { timeOfDay } from '../core/format.js';
import { Frame } from '../parts/frame.js';
import { Kitchen } from '../parts/kitchen.js';
import { Side } from '../parts/side.js';
import { Progress } from '../parts/progress.js';
import { StationPanel } from '../parts/station-panel.js';
import { PersonPanel } from '../parts/person-panel.js';
import { DayPanel } from '../parts/day-panel.js';
import { WhoDoes } from '../parts/chores.js';
import { ChoresSheet, PressingSheet } from '../parts/side-sheets.js';
import { ThingSheet } from '../parts/thing-sheet.js';
import { TakeBackSheet, useTakeBack } from '../parts/take-back.js';
import { Mark } from '../parts/pictures.js';
import { OutlookSheet } from '../parts/outlook/outlook-sheet.js';
import { finishShows, FinishStrip } from '../parts/outlook/finish-strip.js';
import { CopiesWarning } from '../parts/copies-warning.js';
import { FirstSteps } from '../parts/first-steps.js';
import { JoinCode } from '../parts/join-code.js';
import { later } from '../parts/later.js';
import { Sheet } from '../parts/sheet.js';
import { Still } from '../parts/still.js';
import { firstSteps } from '../core/first-steps.js';

const ACCESS = { of: 'access' };
const DevicesSheet = later(
  () => import('../parts/access/devices-sheet.js').then((found) => found.DevicesSheet),
  ACCESS,
);
const TriesNotice = later(
  () => import('../parts/access/tries-notice.js').then((found) => found.TriesNotice),
  ACCESS,
);

function Open({ app, open, show, takeBack }) {
  if (!open) return null;
  const onClose = () => show(null);
  const onStation = (id) => show({ is: 'station', id });
  const { is, id, kind } = open;
  if (is === 'station')
    return html`<${StationPanel} key=${id} app=${app} id=${id} onClose=${onClose} />`;
  if (is === 'person')
    return html`<${PersonPanel} key=${id} app=${app} id=${id} onClose=${onClose} />`;
  if (is === 'day') return html`<${DayPanel} app=${app} onClose=${onClose} onThing=${show} />`;
  if (is === 'thing')
    return html`<${ThingSheet} app=${app} kind=${kind} id=${id} onClose=${onClose} />`;
  if (is === 'outlook')
    return html`<${OutlookSheet} app=${app} onClose=${onClose} onStation=${onStation} />`;
  if (is === 'code')
    return html`<${Sheet} app=${app} title=${t('join.code')} onClose=${onClose}
      ><p>${t('first.people-how')}</p><${JoinCode} day=${app.day} fresh=${app.doors}
    /><//>`;
  if (is === 'devices') return html`<${DevicesSheet} app=${app} onClose=${onClose} />`;
  if (is === 'pressing') return html`<${PressingSheet} app=${app} onClose=${onClose} />`;
  if (is === 'chore') return html`<${WhoDoes} app=${app} id=${id} onClose=${onClose} />`;
  if (is === 'chores') return html`<${ChoresSheet} app=${app} onClose=${onClose} onOpen=${show} />`;
  const [done, onBack] = takeBack;
  return html`<${TakeBackSheet} app=${app} done=${done} onBack=${onBack} onClose=${onClose} />`;
}

/** The screen at `#/day/ID/lead`. */
export function LeadScreen({ app: board }) {
  const [app, done, onBack] = useTakeBack(board);
  const [open, setOpen] = useState(null);
  const { day } = app.view;
  const steps = firstSteps(app.view);
  const sub = [
    app.now !== null && timeOfDay(app.now),
    day.cut_off_at && t('day.until', { at: timeOfDay(day.cut_off_at) }),
  ]
    .filter(Boolean)
    .join(' · ');
  const tools = html`<button class="button lead-back" title=${t('take-back.do')} onClick=${() => setOpen({ is: 'take-back' })}>
      <${Mark} of="undo" size="20" /><span>${t('take-back.do')}</span>
    </button>
    <button class="button button-act" onClick=${() => setOpen({ is: 'day' })}>
      ${t('nav.day')}
    </button>`;
  const head = html`<${Still} of=${[app.view.products]}><${Progress} view=${app.view} /><//>`;
  return html`<${Frame}
    app=${app}
    title=${day.name}
    sub=${sub}
    kind="lead"
    head=${head}
    tools=${tools}
    notes=${html`
      ${app.wrongTries && html`<${TriesNotice} app=${app} onOpen=${setOpen} />`}
      ${app.me && !app.lead && html`<p class="note-line">${t('lead.not')}</p>`}
      <${CopiesWarning} app=${app} />
    `}
  >
    ${
      steps
        ? html`<${FirstSteps} steps=${steps} onOpen=${setOpen} />`
        : html`<${Still} of=${finishShows(app)}
            ><${FinishStrip} app=${app} onOpen=${() => setOpen({ is: 'outlook' })}
          /><//>`
    }
    <${Kitchen} app=${app} onOpen=${(id) => setOpen({ is: 'station', id })} />
    <${Side} app=${app} onOpen=${setOpen} />
    <${Open} app=${app} open=${open} show=${setOpen} takeBack=${[done, onBack]} /><//
  >`;
}
