// What every screen of a day has: the honest state of the line, alarms, refusals, the footer.
// <${Frame} app=${app} title="Kitchen" tools=${html`...`}>content<//>

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { span, timeOfDay } from '../core/format.js';
import { Mark } from './pictures.js';
import { Refusals } from './problem.js';
import { Alarms } from './alarms.js';

/** A line that is down for longer than this is said aloud; shorter gaps mend themselves. */
const SAID_AFTER_MS = 5000;

/** The state of the line to the server, in words and shape. */
export function Connection({ app }) {
  const { up, since } = app.line;
  const downFor = up ? 0 : app.monotonic() - since;
  const unsent = app.entries.filter((entry) => entry.state === 'waiting').length;
  if (up) {
    return html`<p class="line line-up" title=${t('line.up')}>
      <${Mark} of="line" size="18" /> <span>${t('line.up')}</span>
    </p>`;
  }
  if (downFor < SAID_AFTER_MS) {
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
      ${' '}${t(more, { span: span(downFor), n: unsent })}</span
    >
  </p>`;
}

/** Which guidance stands above this board. */
export function Footer() {
  return html`<footer class="footer">${t('footer')}</footer>`;
}

/** A screen of a day. */
export function Frame({ app, title, sub, head, tools, kind = '', quiet, children }) {
  return html`<div class=${`frame ${kind}`}>
    <header class="top">
      <div class="top-words">
        <h1>${title}</h1>
        ${sub && html`<p class="top-sub">${sub}</p>`}
      </div>
      ${head}
      <${Connection} app=${app} />
      ${tools && html`<nav class="top-tools" aria-label=${t('nav.label')}>${tools}</nav>`}
    </header>
    ${!quiet && html`<${Alarms} app=${app} />`}
    ${
      app.closed &&
      html`<p class="closed-note" role="status"><${Mark} of="done" />${t('day.closed')}</p>`
    }
    <main class="main">${children}</main>
    ${!quiet && html`<${Refusals} app=${app} />`}
    <${Footer} />
  </div>`;
}
