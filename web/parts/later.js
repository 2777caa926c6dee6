// A part that is not needed at once, fetched when it is first shown: not part of everybody's first
// load. const Canners = later(() => import('./canners.js').then((found) => found.Canners));

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';

const soon = [];

/** Fetches what helpers will need, so that it is there when the Wi-Fi is not. */
export const fetchSoon = () => soon.splice(0).forEach((fetchNow) => fetchNow());

/**
 * Stands in the part's place until it has come; asks again when it could not be fetched. With `soon`
 * it is also fetched once the page is at rest.
 */
export function later(fetchPart, { soon: early } = {}) {
  let Part = null;
  let asked = null;
  const fetchNow = () => {
    asked ??= fetchPart().then(
      (found) => {
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
