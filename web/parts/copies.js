// The copies that the board makes of all it keeps: which there are, one more, one to save. For the
// lead. <${Copies} app=${app} />

import { html, useEffect, useState } from '../ui.js';
import { t } from '../words/words.js';
import { sizeWords } from '../core/copies.js';
import { whenWords } from '../core/format.js';
import { Mark } from './pictures.js';
import { CopiesTold } from './copies-told.js';
import { Problem } from './problem.js';

/** A copy of a large board takes longer than a tap. */
const MAKING_LIMIT_MS = 120_000;

function Copy({ app, copy }) {
  const name = { at: whenWords(copy.at, app.wallClock()), size: sizeWords(copy.size) };
  return html`<li class="row">
    <span>
      ${t('copies.one', name)}
      ${copy.state !== 'sound' && html` <strong>${t(`copies.state.${copy.state}`)}</strong>`}
    </span>
    <a
      class="button button-quiet"
      href=${`/api/copies/${copy.name}`}
      download=${copy.name}
      aria-label=${t('copies.save-this', name)}
      >${t('copies.save')}</a
    >
  </li>`;
}

/** Asks how it stands; again after `ask()`. */
function useCopies(app) {
  const [told, setTold] = useState(null);
  const ask = () => app.get('/api/copies').then(setTold);
  useEffect(() => {
    ask();
  }, []);
  return [told, ask];
}

export function Copies({ app }) {
  const [told, ask] = useCopies(app);
  const [made, setMade] = useState(null);
  const [making, setMaking] = useState(false);
  async function make() {
    setMaking(true);
    setMade(await app.post('/api/copies', {}, MAKING_LIMIT_MS));
    await ask();
    setMaking(false);
  }
  const stands = told?.status === 200 ? told.body : null;
  return html`<section class="card" aria-label=${t('copies.title')}>
    <h2>${t('copies.title')}</h2>
    <p>${stands?.every_min ? t('copies.about', { n: stands.every_min }) : t('copies.about-asked')}</p>
    <p class="soft">${t('copies.put-back')}</p>
    ${stands && html`<${CopiesTold} told=${stands} />`}
    ${
      told &&
      !stands &&
      html`<p class="problem" role="alert">${t('copies.away')}</p>`
    }
    ${
      made &&
      (made.status === 200
        ? html`<p class="done-word" role="status"><${Mark} of="done" />${t('copies.made')}</p>`
        : html`<${Problem} app=${app} problem=${made.body ?? { status: made.status }} />`)
    }
    <button class="button button-act" disabled=${making} onClick=${make}>
      ${making ? t('pending.sending') : t('copies.make')}
    </button>
    ${
      stands &&
      (stands.copies.length === 0
        ? html`<p>${t('copies.none')}</p>`
        : html`<ul class="copies">
            ${stands.copies.map((copy) => html`<${Copy} key=${copy.name} app=${app} copy=${copy} />`)}
          </ul>`)
    }
  </section>`;
}
