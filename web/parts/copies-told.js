// What the lead must know of the copies and of what they are of: nothing while all is well.
// <${CopiesTold} told=${told} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { ExactWords } from './problem.js';
import { Mark } from './pictures.js';

function Warning({ what, exact, instead }) {
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${what}</strong></p>
      <p>${instead}</p>
      <${ExactWords} problem=${{ detail: exact }} />
    </div>
  </div>`;
}

const lostWords = (lost) => lost.map(({ day, from, to }) => `${day}: ${from}–${to}`).join(', ');

export function CopiesTold({ told: { trouble, damage, lost } }) {
  return html`${
      lost &&
      html`<${Warning}
        what=${t('copies.lost')}
        instead=${t('copies.lost-do')}
        exact=${lostWords(lost)}
      />`
    }
    ${
      damage &&
      html`<${Warning} what=${t('copies.damage')} instead=${t('copies.damage-do')} exact=${damage} />`
    }
    ${
      trouble &&
      html`<${Warning}
        what=${t('copies.trouble')}
        instead=${t('copies.trouble-do')}
        exact=${trouble}
      />`
    }`;
}
