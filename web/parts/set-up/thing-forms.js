// The form of one thing on the lead's sheets, by its kind's name: of a new one, or of one there is.
// <${ThingForms} app=${app} kind="stations" id="wash" onDone=${close} />

import { html } from '../../ui.js';
import { AgeRulesForm, DayForm } from './day-form.js';
import { HELPERS, LOTS, PRODUCTS, RESOURCES, STATIONS, SUPPLIES } from './kinds.js';
import { Add, Change } from './things.js';

const KINDS = {
  stations: STATIONS,
  products: PRODUCTS,
  lots: LOTS,
  helpers: HELPERS,
  supplies: SUPPLIES,
  resources: RESOURCES,
};

/** Without an id a new one is added. */
export function ThingForms({ app, kind, id, onDone }) {
  if (kind === 'day') return html`<${DayForm} app=${app} />`;
  if (kind === 'ages') return html`<${AgeRulesForm} app=${app} />`;
  if (!id) return html`<${Add} app=${app} kind=${KINDS[kind]} onDone=${onDone} />`;
  if (!app.view[kind]?.[id]) return null;
  return html`<${Change} app=${app} kind=${KINDS[kind]} id=${id} />`;
}
