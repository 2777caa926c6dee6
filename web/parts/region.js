// A part of a screen that keeps its place and its height whatever is in it: what does not fit is
// counted beside the heading and, with `onAll`, one tap away.
// <${Region} name="now" title="What presses" items=${[{ key, node }]} none="..." onAll=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { useFitting } from './fit.js';

/** Items are list items, the most important first. */
export function Region({ name, title, items, none, onAll }) {
  const [list, fitting] = useFitting(items.length);
  const more = items.length - fitting;
  return html`<section class=${`region region-${name}`}>
    <div class="region-head">
      <h2>${title}</h2>
      ${
        more > 0 &&
        (onAll
          ? html`<button class="region-more" onClick=${onAll}>${t('more', { n: more })}</button>`
          : html`<span class="soft">${t('more', { n: more })}</span>`)
      }
    </div>
    ${items.length === 0 && html`<p class="soft">${none}</p>`}
    <ul class="region-list" ref=${list}>
      ${items.map(
        ({ key, node, kind = '' }, index) =>
          html`<li key=${key} class=${index < fitting ? kind : `${kind} region-out`}>${node}</li>`,
      )}
    </ul>
  </section>`;
}
