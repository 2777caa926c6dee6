// The frame of a page that belongs to no day that is followed live: its head with the way back, its
// content, the footer. <${PageFrame} app=${app} kind="learned" title="What was learned">...<//>

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { Footer } from './frame.js';

/** `links` stand in the head; without them the way back to the list of days. */
export function PageFrame({ app, kind, title, sub, links, main = 'main', children }) {
  return html`<div class=${`frame ${kind}`}>
    <header class="top">
      <div class="top-words">
        <h1 tabindex="-1">${title}</h1>
        ${sub && html`<p class="top-sub">${sub}</p>`}
      </div>
      <nav class="top-tools" aria-label=${t('nav.label')}>
        ${links ?? html`<a class="button button-quiet" href="#/">${t('nav.days')}</a>`}
      </nav>
    </header>
    <main class=${main}>${children}</main>
    <${Footer} app=${app} />
  </div>`;
}
