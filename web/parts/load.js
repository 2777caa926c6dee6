// A canner: build a load from the jars that wait, heat, confirm the rolling boil, time, rest, lift.
// The clock starts only when somebody has seen a full rolling boil.
// <${Canner} app=${app} stationId="canner-a" helperId="maren" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf, loadAt, loadIdAt } from '../core/flow.js';
import { timersAt } from '../core/timers.js';
import { BigTimer } from './timers.js';
import { BuildLoad } from './load-build.js';
import { LiftLoad } from './load-lift.js';
import { Fold } from './sheet.js';
import { OrderForm } from './order-form.js';
import { Mark } from './pictures.js';

/** "6 pear halves, 1 plum puree" of a load's jars. */
export function jarsWords(view, load) {
  return entriesOf(load.jars).map(([product, lots]) => {
    const n = Object.values(lots).reduce((sum, jars) => sum + jars, 0);
    return `${n} × ${view.products[product]?.name ?? product}`;
  }).join(', ');
}

function ProcessWords({ app, load }) {
  const { tested, decided_by: by } = load.process ?? {};
  if (!tested) return null;
  const product = app.view.products[by]?.name ?? by;
  const psi = tested.psi ? ` · ${tested.psi} psi` : '';
  return html`<p class="process"><strong>${t('load.minutes', { n: tested.minutes })}${psi}</strong>
    <span>${t('load.by', { product })}</span>
    ${tested.source && html`<small class="soft">${t('load.source', { source: tested.source })}</small>`}</p>`;
}

const by = (helper) => (helper ? { helper } : {});

function Loading({ app, id, helper }) {
  return html`<p class="caution"><${Mark} of="warn" />${t('caution.before-heat')}</p>
    <div class="row"><button class="button button-act button-wide" onClick=${() => app.send({ order: 'heat-load', load: id, ...by(helper) })}>
      ${t('load.heat')}</button>
    <button class="button" onClick=${() => app.send({ order: 'cancel-load', load: id })}>${t('load.cancel')}</button></div>`;
}

function Heating({ app, id, helper }) {
  return html`<p class="caution"><${Mark} of="warn" />${t('caution.boil')}</p>
    <button class="button button-act button-wide" onClick=${() => app.send({ order: 'rolling-boil', load: id, ...by(helper) })}>
      ${t('load.boil')}</button>
    <p class="soft">${t('load.heating-usual')}</p>`;
}

function Timing({ app, id, load, helper }) {
  const over = app.now !== null && app.now >= load.done_at;
  const off = { order: 'heat-off', load: id, ...by(helper) };
  return html`<p class="caution"><${Mark} of="warn" />${t(over ? 'caution.heat-off' : 'caution.keep-boiling')}</p>
    ${over && html`<button class="button button-act button-wide" onClick=${() => app.send(off)}>${t('load.heat-off')}</button>`}
    <button class="button button-wide" onClick=${() => app.send({ order: 'boil-lost', load: id, ...by(helper) })}>${t('load.boil-lost')}</button>
    ${!over && app.lead && html`<${Fold} title=${t('load.end-early')}>
      <${OrderForm} app=${app} danger=${true} button=${t('load.end-early-yes')}
        build=${() => ({ ...off, end_early: true })}><p>${t('load.end-early-why')}</p><//><//>`}`;
}

function Resting({ app, id, load, helper }) {
  return html`<p class="caution"><${Mark} of="warn" />${t('caution.lift')}</p>
    <${LiftLoad} app=${app} id=${id} load=${load} helper=${helper} />`;
}

const PHASES = { loading: Loading, heating: Heating, timing: Timing, resting: Resting };

/** The canner, with what is in it now or what could go in. */
export function Canner({ app, stationId, helperId }) {
  const station = app.view.stations[stationId];
  const load = loadAt(station);
  const [again, setAgain] = useState(0);
  if (!load) {
    return html`<section class="card" aria-label=${t('load.title')}>
      <${BuildLoad} key=${again} app=${app} stationId=${stationId} onDone=${() => setAgain(again + 1)} /></section>`;
  }
  const id = loadIdAt(app.view, stationId);
  const Phase = PHASES[load.phase] ?? Resting;
  return html`<section class="card" aria-label=${t('load.title')}>
    <h3>${t(`load.phase.${load.phase}`)}</h3>
    <p>${jarsWords(app.view, load)}</p>
    ${load.short && html`<p class="caution caution-danger"><${Mark} of="danger" />${t('load.short')}</p>`}
    ${load.lost > 0 && html`<p class="soft">${t('load.lost', { n: load.lost })}</p>`}
    ${timersAt(app.timers, stationId).filter((one) => one.load).map((timer) => html`
      <${BigTimer} key=${timer.kind} view=${app.view} timer=${timer} />`)}
    <${ProcessWords} app=${app} load=${load} />
    <${Phase} app=${app} id=${id} load=${load} helper=${helperId} />
  </section>`;
}
