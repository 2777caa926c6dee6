// All of what is to come, on one sheet: the finish over time, what helps, what would happen if,
// the loads and the boxes to come.
// <${OutlookSheet} app=${app} onClose=${close} onStation=${open} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import {
  finishSentence,
  lastBoxWords,
  paceWords,
  productWords,
  whatIfWords,
} from '../../core/outlook-words.js';
import { Sheet } from '../sheet.js';
import { Mark } from '../pictures.js';
import { Advice } from './advice.js';
import { FinishChart } from './finish-chart.js';
import { Reasons, StaleNote } from './finish-strip.js';
import { LoadsToCome } from './loads-to-come.js';

const WAY_MARK = { sooner: 'sooner', later: 'later', same: 'calm' };

function WhatIf({ app }) {
  if (!app.ahead.what_if.length) return null;
  return html`<h3>${t('what-if.title')}</h3>
    <ul class="what-if">
      ${app.ahead.what_if.map((one) => {
        const { what, effect, often, way } = whatIfWords(app.view, one);
        return html`<li key=${what}>
          <${Mark} of=${WAY_MARK[way]} size="20" />
          <span>${what}<small class="soft">${way === 'same' ? '' : often}</small></span>
          <b>${effect}</b>
        </li>`;
      })}
    </ul>`;
}

function Pace({ app }) {
  const { pace } = app.ahead;
  if (!pace) return null;
  const words = paceWords(pace);
  return html`<h3>${t('pace.title')}</h3>
    <progress max="1" value=${Math.min(1, pace.share)} aria-label=${words}></progress>
    <p>${words}</p>`;
}

/** Lines under a heading, each `[key, words]`; nothing without lines. */
function Told({ title, lines }) {
  if (!lines.length) return null;
  return html`<h3>${title}</h3>
    <ul class="told">
      ${lines.map(([key, words]) => html`<li key=${key}>${words}</li>`)}
    </ul>`;
}

function Products({ app }) {
  const lines = entriesOf(app.ahead.products).map(([id, one]) => [
    id,
    productWords(app.view, id, one, app.now),
  ]);
  return html`<${Told} title=${t('product-ahead.title')} lines=${lines} />`;
}

function LastBox({ app }) {
  const lines = entriesOf(app.ahead.last_box).map(([lot, one]) => [
    lot,
    lastBoxWords(app.view, lot, one, app.now),
  ]);
  return html`<${Told} title=${t('last-box.title')} lines=${lines} />`;
}

function Loads({ app }) {
  const list = entriesOf(app.ahead.canners);
  if (!list.length) return null;
  return html`<h3>${t('loads.title')}</h3>
    ${list.map(([id]) => html`<${LoadsToCome} key=${id} app=${app} id=${id} named=${true} />`)}`;
}

/** The sheet. */
export function OutlookSheet({ app, onClose, onStation }) {
  if (!app.outlook) return null;
  return html`<${Sheet} app=${app} title=${t('ahead.title')} onClose=${onClose}>
    <div class="panel-columns">
      <section>
        <p class="finish-sentence">${finishSentence(app.view, app.outlook, app.now)}</p>
        <${StaleNote} app=${app} />
        <${Reasons} app=${app} />
        <figure class="finish-figure">
          <${FinishChart} app=${app} large=${true} />
          <figcaption class="hint">${t('finish.chart-about')}</figcaption>
        </figure>
        ${
          app.ahead &&
          html`<${Products} app=${app} /><${Loads} app=${app} /><${LastBox} app=${app} />`
        }
      </section>
      <section>
        <h3>${t('advice.title')}</h3>
        <${Advice} app=${app} onStation=${onStation} />
        ${app.ahead && html`<${WhatIf} app=${app} /><${Pace} app=${app} />`}
        <p class="hint">${t('ahead.runs', { n: app.outlook.runs })}</p>
      </section>
    </div><//
  >`;
}
