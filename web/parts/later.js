// A part that is not needed at once, fetched when it is first shown: not part of everybody's first
// load. const Canners = later(() => import('./canners.js').then((found) => found.Canners));
// With `of` it needs the words and the style of that part of the program too.

import { html, useState } from '../ui.js';
import { fetchWords } from '../tongue.js';
import { t } from '../words/words.js';

const soon = [];

/** Fetches what helpers will need, so that it is there when the Wi-Fi is not. */
export const fetchSoon = () => soon.splice(0).forEach((fetchNow) => fetchNow());

const styles = new Map();

/** Fetches a style, once for the page; fails where it cannot be had. */
export function fetchStyle(href) {
  if (!styles.has(href)) {
    const link = Object.assign(document.createElement('link'), { rel: 'stylesheet', href });
    const arrived = new Promise((done, failed) => {
      link.onload = done;
      link.onerror = () => {
        link.remove();
        styles.delete(href);
        failed();
      };
    });
    styles.set(href, arrived);
    document.head.append(link);
  }
  return styles.get(href);
}

/**
 * Stands in the part's place until it has come; asks again when it could not be fetched. With `soon`
 * it is also fetched once the page is at rest.
 */
export function later(fetchPart, { soon: early, of } = {}) {
  let Part = null;
  let asked = null;
  const fetchNow = () => {
    asked ??= Promise.all([fetchPart(), of && fetchWords(of), of && fetchStyle(`/style/${of}.css`)]).then(
      ([found]) => {
        Part = found;
      },
      () => {
        asked = null;
      },
    );
    return asked;
  };
  if (early) soon.push(fetchNow);
  return function Later(props) {
    const [, arrived] = useState(null);
    if (Part) return html`<${Part} ...${props} />`;
    fetchNow().then(() => Part && arrived({}));
    return html`<p class="frame soft" role="status">${t('days.loading')}</p>`;
  };
}
