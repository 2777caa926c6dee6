// Setting the kitchen up, before and during a day, without touching a file. For the lead.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { Frame } from '../parts/frame.js';
import { Things } from '../parts/set-up/things.js';
import { AgeRulesForm, DayForm } from '../parts/set-up/day-form.js';
import { HELPERS, LOTS, PRODUCTS, RESOURCES, STATIONS, SUPPLIES } from '../parts/set-up/kinds.js';
import { Mark } from '../parts/pictures.js';

const KINDS = {
  stations: STATIONS,
  products: PRODUCTS,
  lots: LOTS,
  helpers: HELPERS,
  supplies: SUPPLIES,
  resources: RESOURCES,
};
const SECTIONS = [
  'day',
  'stations',
  'products',
  'lots',
  'helpers',
  'supplies',
  'resources',
  'ages',
];

function Section({ app, section }) {
  if (section === 'day') return html`<${DayForm} app=${app} />`;
  if (section === 'ages') return html`<${AgeRulesForm} app=${app} />`;
  return html`<${Things} key=${section} app=${app} kind=${KINDS[section]} />`;
}

/** The screen at `#/day/ID/set-up`. */
export function SetUpScreen({ app }) {
  const [section, setSection] = useState('day');
  const count = (one) => (KINDS[one] ? ` (${entriesOf(app.view[KINDS[one].map]).length})` : '');
  const tools = html`<a class="button button-quiet" href=${`#/day/${app.day}/join`}
      >${t('nav.join')}</a
    >
    <a class="button button-act" href=${`#/day/${app.day}/lead`}>${t('nav.lead')}</a>`;
  return html`<${Frame}
    app=${app}
    title=${t('set-up.title')}
    sub=${app.view.day.name}
    kind="set-up"
    tools=${tools}
  >
    ${app.me && !app.lead && html`<p class="note-line">${t('lead.not')}</p>`}
    ${app.view.day.altitude_ft === undefined &&
      html`<p class="caution"><${Mark} of="warn" />${t('warning.altitude')}</p>`}
    <nav class="sections" aria-label=${t('set-up.sections')}>
      ${SECTIONS.map(
        (one) =>
          html`<button
            key=${one}
            class="button section-tab"
            aria-current=${one === section ? 'page' : 'false'}
            onClick=${() => setSection(one)}
          >
            ${t(`set-up.${one}`)}${count(one)}
          </button>`,
      )}
    </nav>
    <section class="section">
      <h2>${t(`set-up.${section}`)}</h2>
      <${Section} app=${app} section=${section} /></section
  ><//>`;
}
