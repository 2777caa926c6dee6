// The day on paper, should the power or the Wi-Fi fail: a page for each station, one of the people,
// one for the lead. Printed beforehand; what is struck is typed back in later.

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { sheetsOf } from '../core/paper.js';
import { Frame } from '../parts/frame.js';
import { DayLinks } from '../parts/day-links.js';
import { LeadPage, PeoplePage, StationPage } from '../parts/day-papers.js';

/** The screen at `#/day/ID/paper`. */
export function PaperScreen({ app }) {
  const sheets = sheetsOf(app.view);
  return html`<${Frame}
    app=${app}
    title=${t('paper.title')}
    sub=${app.view.day.name}
    kind="paper before"
    tools=${html`<${DayLinks} app=${app} />`}
  >
    <div class="before-head no-print">
      <p>${t('paper.about', { n: sheets.length + 2 })}</p>
      <button class="button button-act" onClick=${() => globalThis.print()}>
        ${t('before.print')}
      </button>
    </div>
    <${LeadPage} app=${app} />
    <${PeoplePage} app=${app} />
    ${sheets.map((sheet) => html`<${StationPage} key=${sheet.id} app=${app} sheet=${sheet} />`)}<//
  >`;
}
