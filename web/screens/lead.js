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
import { Sheet } from '../parts/sheet.js';
import { SupplyForms } from '../parts/stock.js';
import { OutlookSheet } from '../parts/outlook/outlook-sheet.js';
import { FinishStrip } from '../parts/outlook/finish-strip.js';

function Open({ app, open, onClose, onStation }) {
  if (!open) return null;
  if (open.is === 'station')
    return html`<${StationPanel} key=${open.id} app=${app} id=${open.id} onClose=${onClose} />`;
  if (open.is === 'person')
    return html`<${PersonPanel} key=${open.id} app=${app} id=${open.id} onClose=${onClose} />`;
  if (open.is === 'day') return html`<${DayPanel} app=${app} onClose=${onClose} />`;
  if (open.is === 'outlook')
    return html`<${OutlookSheet} app=${app} onClose=${onClose} onStation=${onStation} />`;
  const supply = app.view.supplies?.[open.id];
  return (
    supply &&
    html`<${Sheet} app=${app} title=${supply.name} onClose=${onClose}
      ><${SupplyForms} app=${app} id=${open.id}
    /><//>`
  );
}

/** The screen at `#/day/ID/lead`. */
export function LeadScreen({ app }) {
  const [open, setOpen] = useState(null);
  const show = (is) => (id) => setOpen({ is, id });
  const { day } = app.view;
  const sub = [
    app.now !== null && timeOfDay(app.now),
    day.cut_off_at && t('day.until', { at: timeOfDay(day.cut_off_at) }),
  ]
    .filter(Boolean)
    .join(' · ');
  const tools = html`<${Progress} view=${app.view} />
    <button class="button button-act" onClick=${() => setOpen({ is: 'day' })}>
      ${t('nav.day')}
    </button>`;
  return html`<${Frame} app=${app} title=${day.name} sub=${sub} kind="lead" tools=${tools}>
    ${app.me && !app.lead && html`<p class="note-line">${t('lead.not')}</p>`}
    <${FinishStrip} app=${app} onOpen=${() => setOpen({ is: 'outlook' })} />
    <${Kitchen} app=${app} onOpen=${show('station')} />
    <${Side}
      app=${app}
      onPerson=${show('person')}
      onSupply=${show('supply')}
      onStation=${show('station')}
      onOutlook=${() => setOpen({ is: 'outlook' })}
    />
    <${Open}
      app=${app}
      open=${open}
      onClose=${() => setOpen(null)}
      onStation=${show('station')}
    /><//
  >`;
}
