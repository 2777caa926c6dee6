// What every screen of a day has: the honest state of the line, alarms, refusals, the footer.
// <${Frame} app=${app} title="Kitchen" tools=${html`...`}>content<//>

import { html } from '../ui.js';
import { fetchWords } from '../tongue.js';
import { t } from '../words/words.js';
import { span, timeOfDay } from '../core/format.js';
import { DeviceChoice } from './device-choice.js';
import { Mark } from './pictures.js';
import { Refusals } from './problem.js';
import { Alarms } from './alarms.js';
import { DeviceNotes } from './device-notes.js';
import { HurtButton, HurtCalls } from './hurt.js';
import { later } from './later.js';

const JournalNotes = later(
  () => import('./journal-notes.js').then((found) => found.JournalNotes),
  { of: 'season' },
);
const DiskNote = later(async () => {
  const [found] = await Promise.all([import('./disk-note.js'), fetchWords('rare')]);
  return found.DiskNote;
});

/** A line that is down for longer than this is said aloud; shorter gaps mend themselves. */
const SAID_AFTER_MS = 5000;

/** How long the line has been down, once that is worth saying; else 0. */
function saidDown(app) {
  const downFor = app.line.up ? 0 : app.monotonic() - app.line.since;
  return downFor < SAID_AFTER_MS ? 0 : downFor;
}

/** The state of the line to the server, in words and shape. */
export function Connection({ app }) {
  const { up } = app.line;
  const downFor = saidDown(app);
  const unsent = app.entries.filter((entry) => entry.state === 'waiting').length;
  if (up) {
    return html`<p class="line line-up" title=${t('line.up')}>
      <${Mark} of="line" size="18" /> <span>${t('line.up')}</span>
    </p>`;
  }
  if (!downFor) {
    return html`<p class="line">
      <${Mark} of="line" size="18" /><span>${t('line.connecting')}</span>
    </p>`;
  }
  const at = Date.now() - downFor;
  const more = app.view ? 'line.down-more' : 'line.down-empty';
  return html`<p class="line line-down" role="alert">
    <${Mark} of="cut" size="20" />
    <span
      ><strong>${t('line.down', { at: timeOfDay(at) })}</strong>
      ${' '}${t(more, { span: span(downFor), n: unsent })}
      ${app.view && ` ${t('line.stay')}`}</span
    >
  </p>`;
}

/** What this device cannot do for the person at it. */
function Forgetful({ app }) {
  if (!app.forgetful) return null;
  return html`<p class="note-line forgetful" role="status">
    <${Mark} of="warn" size="20" /><span>${t('line.forgetful')}</span>
  </p>`;
}

/** Which guidance stands above this board. */
export function Footer({ app, plain }) {
  return html`<footer class="footer">
    <p>${t('footer')}</p>
    ${!plain && html`<${DeviceChoice} app=${app} />`}
  </footer>`;
}

/** Screens that stand open all day, must be heard and have no line to spare. */
const TIGHT = ['lead', 'wall'];

/** A screen of a day; `notes` stand above what it shows. */
export function Frame({ app, title, sub, head, tools, notes, kind = '', quiet, children }) {
  return html`<div class=${`frame ${kind} ${saidDown(app) ? 'frame-stale' : ''}`}>
    <header class="top">
      <div class="top-words">
        <h1 tabindex="-1">${title}</h1>
        ${sub && html`<p class="top-sub">${sub}</p>`}
      </div>
      ${head}
      <${HurtButton} app=${app} />
      ${TIGHT.includes(app.at.screen) && html`<${DeviceNotes} app=${app} brief=${true} />`}
      <${Connection} app=${app} />
      ${tools && html`<nav class="top-tools" aria-label=${t('nav.label')}>${tools}</nav>`}
    </header>
    <${Forgetful} app=${app} />
    ${app.disk && html`<${DiskNote} app=${app} />`}
    ${(app.putBack || app.view?.damage) && html`<${JournalNotes} app=${app} />`}
    <div class="over-all"><${HurtCalls} app=${app} /><${Alarms} app=${app} /></div>
    ${app.at.screen === 'helper' && html`<${DeviceNotes} app=${app} />`}
    ${
      app.closed &&
      html`<p class="closed-note" role="status"><${Mark} of="done" />${t('day.closed')}</p>`
    }
    ${notes}
    <main class="main">${children}</main>
    ${!quiet && html`<${Refusals} app=${app} />`}
    <${Footer} app=${app} plain=${quiet} />
  </div>`;
}
