// From a screen of before or after a day to the day itself and to its other papers.
// <${DayLinks} app=${app} />

import { html } from '../ui.js';
import { t } from '../words/words.js';

const PAPERS = ['gather', 'paper', 'typed'];

/** The links; the screen that is shown is not among them. */
export function DayLinks({ app }) {
  const at = (screen) => `#/day/${app.day}/${screen}`;
  return html`<a class="button button-quiet" href=${at(app.lead ? 'lead' : 'helper')}
      >${t(app.lead ? 'nav.lead' : 'nav.helper')}</a
    >${PAPERS.filter((screen) => screen !== app.at.screen).map(
      (screen) =>
        html` <a class="button button-quiet" key=${screen} href=${at(screen)}
          >${t(`before.nav.${screen}`)}</a
        >`,
    )}`;
}
