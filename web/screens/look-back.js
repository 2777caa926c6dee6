// Looking back on a day: what was made, how fast, and how deep each queue stood over time.
// The figures come from the server; nothing is computed here but sums for the eye.

import { html, useEffect, useState } from '../ui.js';
import { t } from '../words/words.js';
import { decimal, span, timeOfDay } from '../core/format.js';
import { entriesOf } from '../core/flow.js';
import { DepthChart } from '../parts/depth-chart.js';
import { Footer } from '../parts/frame.js';
import { Problem } from '../parts/problem.js';

const minutes = (n) => span((n ?? 0) * 60000);

function deepestWords(deepest) {
  if (!deepest) return '';
  const amount = deepest.amount === undefined ? '' : decimal(deepest.amount);
  const carriers = deepest.carriers === undefined ? '' : t('look-back.carriers', { amount: decimal(deepest.carriers) });
  const at = deepest.at === undefined ? '' : t('look-back.at', { at: timeOfDay(deepest.at) });
  return [amount, carriers, at].filter(Boolean).join(' ');
}

function Made({ made }) {
  const list = Array.isArray(made) ? made : Object.values(made ?? {});
  if (!list.length) return html`<p class="soft">${t('look-back.nothing')}</p>`;
  return html`<ul class="made">${list.map((one) => html`<li key=${one.product}>
    <b>${one.count}</b><span>${one.name ?? one.product} <small class="soft">${one.package ? t(`package.${one.package}`, { n: one.count }) : ''}</small></span></li>`)}</ul>`;
}

function Stations({ stations }) {
  return html`<div class="table-room" tabindex="0" role="region" aria-label=${t('look-back.stations')}><table>
    <thead><tr><th scope="col">${t('word.station')}</th><th scope="col">${t('look-back.busy')}</th>
      <th scope="col">${t('look-back.idle')}</th><th scope="col">${t('look-back.deepest')}</th></tr></thead>
    <tbody>${entriesOf(stations).map(([id, one]) => html`<tr key=${id}><th scope="row">${one.name ?? id}</th>
      <td>${minutes(one.busy_min)}</td><td>${minutes(one.idle_min)}</td><td>${deepestWords(one.deepest)}</td></tr>`)}</tbody></table></div>`;
}

function Content({ app, back }) {
  const { span: whole } = back;
  return html`<section><h2>${t('look-back.made')}</h2><${Made} made=${back.made} />
      <p>${back.packages_per_hour !== undefined && t('look-back.rate', { n: Number(back.packages_per_hour).toFixed(1) })}
        ${whole?.from !== undefined && html` <span class="soft">${t('look-back.span', { from: timeOfDay(whole.from), to: timeOfDay(whole.to) })}</span>`}</p></section>
    <section><h2>${t('look-back.depth')}</h2><${DepthChart} stations=${back.stations} /></section>
    <section><h2>${t('look-back.stations')}</h2><${Stations} stations=${back.stations} />
      <a class="button" href=${`/api/days/${app.day}/look-back.csv`} download>${t('look-back.csv')}</a></section>`;
}

/** The screen at `#/day/ID/look-back`. */
export function LookBackScreen({ app }) {
  const [answer, setAnswer] = useState(null);
  useEffect(() => { app.get(`/api/days/${app.day}/look-back`).then(setAnswer); }, [app.day]);
  const name = app.days?.[app.day]?.name ?? app.day;
  return html`<div class="frame look-back"><header class="top"><div class="top-words"><h1>${t('look-back.title')}</h1>
      <p class="top-sub">${name}</p></div>
      <nav class="top-tools" aria-label=${t('nav.label')}><a class="button button-quiet" href="#/">${t('nav.days')}</a></nav></header>
    <main class="main">${answer === null ? html`<p class="soft">${t('days.loading')}</p>`
      : answer.status === 200 ? html`<${Content} app=${app} back=${answer.body} />`
        : html`<${Problem} app=${app} problem=${answer.body ?? { detail: t('days.unreachable') }} />`}</main>
    <${Footer} /></div>`;
}
