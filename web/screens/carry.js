// Everything the board keeps as one file: to keep, to move to another computer, to read in again;
// and the copies that the board makes by itself.

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { postFile } from '../net/carry.js';
import { Copies } from '../parts/copies.js';
import { PageFrame } from '../parts/page-frame.js';
import { Mark } from '../parts/pictures.js';
import { Problem } from '../parts/problem.js';

function Brought({ days }) {
  return html`<div role="status">
    <p class="done-word"><${Mark} of="done" />${t('carry.brought', { n: days.length })}</p>
    <ul>
      ${days.map(
        ({ day, events, new: fresh }) =>
          html`<li key=${day}>${t(fresh === 0 ? 'carry.known' : 'carry.new', { day, events, fresh })}</li>`,
      )}
    </ul>
  </div>`;
}

function Refused({ app, answer: { status, body } }) {
  if (status === 0) return html`<p class="problem" role="alert">${t('carry.away')}</p>`;
  return html`<${Problem} app=${app} problem=${body ?? { status }} />`;
}

function ReadIn({ app }) {
  const [file, setFile] = useState(null);
  const [answer, setAnswer] = useState(null);
  const [sending, setSending] = useState(false);
  async function send() {
    setSending(true);
    setAnswer(await postFile('/api/import', file));
    setSending(false);
    app.loadDays();
  }
  return html`<section class="card" aria-label=${t('carry.in')}>
    <h2>${t('carry.in')}</h2>
    <p>${t('carry.in-about')}</p>
    <label class="field"
      ><span class="field-label">${t('carry.file')}</span>
      <input
        type="file"
        accept="application/json,.json"
        onChange=${(event) => {
          setAnswer(null);
          setFile(event.target.files[0] ?? null);
        }}
    /></label>
    ${answer?.status === 200 && html`<${Brought} days=${answer.body.days} />`}
    ${answer && answer.status !== 200 && html`<${Refused} app=${app} answer=${answer} />`}
    <button class="button button-act" disabled=${!file || sending} onClick=${send}>
      ${sending ? t('pending.sending') : t('carry.send')}
    </button>
  </section>`;
}

/** The screen at `#/carry`. */
export function CarryScreen({ app }) {
  return html`<${PageFrame}
    app=${app}
    kind="narrow carry before"
    title=${t('carry.title')}
    sub=${t('carry.sub')}
  >
    ${
      app.lead
        ? html`<section class="card" aria-label=${t('carry.out')}>
              <h2>${t('carry.out')}</h2>
              <p>${t('carry.out-about')}</p>
              <a class="button button-act" href="/api/export" download="putby-board.json"
                >${t('carry.save')}</a
              >
            </section>
            <${ReadIn} app=${app} />
            <${Copies} app=${app} />`
        : html`<p>${t('carry.lead-only')}</p>`
    }<//
  >`;
}
