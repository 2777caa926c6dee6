// The sheet of one thing the lead sets up or puts right. <${ThingSheet} app=${app} kind="lots"
// id="hill" onClose=${close} />; without an id a new one. <${ThingFold} app=${app} kind="helpers"
// id="bo" /> is the same folded into another sheet.

import { html, useEffect } from '../ui.js';
import { t } from '../words/words.js';
import { Fold, Sheet } from './sheet.js';
import { later } from './later.js';
import { SupplyForms } from './stock.js';

const WORD = {
  stations: 'station',
  products: 'product',
  lots: 'lot',
  helpers: 'helper',
  supplies: 'supply',
  resources: 'resource',
};

const ThingForms = later(() =>
  import('./set-up/thing-forms.js').then((found) => found.ThingForms),
);

function Forms({ app, kind, id, onDone }) {
  useEffect(() => {
    if (kind === 'products' && !app.foods) app.loadFoods();
  }, []);
  return html`<${ThingForms} app=${app} kind=${kind} id=${id} onDone=${onDone} />`;
}

/** The sheet. */
export function ThingSheet({ app, kind, id, onClose }) {
  const word = WORD[kind];
  const thing = app.view[kind]?.[id];
  if (word && id && !thing) return null;
  const title = thing?.name ?? t(word ? `add.${word}` : `set-up.${kind}`);
  return html`<${Sheet} app=${app} title=${title} onClose=${onClose}>
    ${kind === 'supplies' && id && html`<${SupplyForms} app=${app} id=${id} />`}
    <${Forms} app=${app} kind=${kind} id=${id} onDone=${onClose} /><//
  >`;
}

/** Changing it, folded. */
export function ThingFold({ app, kind, id }) {
  return html`<${Fold} title=${t('lead.change')}
    ><${Forms} app=${app} kind=${kind} id=${id}
  /><//>`;
}
