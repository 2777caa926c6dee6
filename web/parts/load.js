// The canners of a station: build a load from the jars that wait, heat, confirm the rolling boil,
// time, rest, lift.
// The clock starts only when somebody has seen a full rolling boil.
// <${Canners} app=${app} stationId="canners" helperId="maren" />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { cannersAt, entriesOf } from '../core/flow.js';
import { timersAt } from '../core/timers.js';
import { BigTimer } from './timers.js';
import { BuildLoad } from './load-build.js';
import { LiftLoad } from './load-lift.js';
import { Fold } from './sheet.js';
import { OrderForm } from './order-form.js';
import { Mark } from './pictures.js';

/** "6 pear halves, 1 plum puree" of a load's jars. */
export function jarsWords(view, load) {
  return entriesOf(load.jars)
    .map(([product, lots]) => {
      const n = Object.values(lots).reduce((sum, amount) => sum + amount, 0) / 1000;
      return `${n} × ${view.products[product]?.name ?? product}`;
    })
    .join(', ');
}

function ProcessWords({ app, load }) {
  const { tested, decided_by: by } = load.process ?? {};
  if (!tested) return null;
  const product = app.view.products[by]?.name ?? by;
  const psi = tested.psi ? ` · ${tested.psi} psi` : '';
  return html`<p class="process">
    <strong>${t('load.minutes', { n: tested.minutes })}${psi}</strong>
    <span>${t('load.by', { product })}</span>
    ${tested.acid && html`<span>${t('load.acid', { acid: tested.acid })}</span>`}
    ${tested.source &&
      html`<small class="soft">${t('load.source', { source: tested.source })}</small>`}
  </p>`;
}

const by = (helper) => (helper ? { helper } : {});

function Loading({ app, id, helper }) {
  return html`<p class="caution"><${Mark} of="warn" />${t('caution.before-heat')}</p>
    <div class="row">
      <button
        class="button button-act button-wide"
        onClick=${() => app.send({ order: 'heat-load', load: id, ...by(helper) })}
      >
        ${t('load.heat')}
      </button>
      <button class="button" onClick=${() => app.send({ order: 'cancel-load', load: id })}>
        ${t('load.cancel')}
      </button>
    </div>`;
}

function Heating({ app, id, helper }) {
  return html`<p class="caution"><${Mark} of="warn" />${t('caution.boil')}</p>
    <button
      class="button button-act button-wide"
      onClick=${() => app.send({ order: 'rolling-boil', load: id, ...by(helper) })}
    >
      ${t('load.boil')}
    </button>
    <p class="soft">${t('load.heating-usual')}</p>`;
}

function Timing({ app, id, load, helper }) {
  const over = app.now !== null && app.now >= load.done_at;
  const off = { order: 'heat-off', load: id, ...by(helper) };
  return html`<p class="caution">
      <${Mark} of="warn" />${t(over ? 'caution.heat-off' : 'caution.keep-boiling')}
    </p>
    ${over &&
      html`<button class="button button-act button-wide"
        onClick=${() => app.send(off)}>${t('load.heat-off')}</button>`}
    <button
      class="button button-wide"
      onClick=${() => app.send({ order: 'boil-lost', load: id, ...by(helper) })}
    >
      ${t('load.boil-lost')}
    </button>
    ${
      !over &&
      app.lead &&
      html`<${Fold} title=${t('load.end-early')}>
        <${OrderForm}
          app=${app}
          danger=${true}
          button=${t('load.end-early-yes')}
          build=${() => ({ ...off, end_early: true })}
          ><p>${t('load.end-early-why')}</p><//
        ><//
      >`
    }`;
}

function Resting({ app, id, load, helper }) {
  return html`<p class="caution"><${Mark} of="warn" />${t('caution.lift')}</p>
    <${LiftLoad} app=${app} id=${id} load=${load} helper=${helper} />`;
}

const PHASES = { loading: Loading, heating: Heating, timing: Timing, resting: Resting };

function InCanner({ app, stationId, helperId, one }) {
  const { load, loadId } = one;
  const Phase = PHASES[load.phase] ?? Resting;
  return html`<h3>${one.canner.name}: ${t(`load.phase.${load.phase}`)}</h3>
    <p>${jarsWords(app.view, load)}</p>
    ${load.short &&
      html`<p class="caution caution-danger"><${Mark} of="danger" />${t('load.short')}</p>`}
    ${load.lost > 0 && html`<p class="soft">${t('load.lost', { n: load.lost })}</p>`}
    ${timersAt(app.timers, stationId)
      .filter((timer) => timer.load === loadId)
      .map((timer) => html`<${BigTimer} key=${timer.kind} view=${app.view} timer=${timer} />`)}
    <${ProcessWords} app=${app} load=${load} />
    <${Phase} app=${app} id=${loadId} load=${load} helper=${helperId} />`;
}

/** Every canner of the station, with what is in it now or what could go in. */
export function Canners({ app, stationId, helperId }) {
  const [round, setRound] = useState(0);
  return html`<div class="pots">
    ${cannersAt(app.view, stationId).map(
      (one) =>
        html`<section class="card" key=${one.id} aria-label=${one.canner.name}>
          ${
            one.load
              ? html`<${InCanner}
                  key=${one.loadId}
                  app=${app}
                  stationId=${stationId}
                  helperId=${helperId}
                  one=${one}
                />`
              : html`<${BuildLoad}
                  key=${round}
                  app=${app}
                  stationId=${stationId}
                  one=${one}
                  onDone=${() => setRound(round + 1)}
                />`
          }
        </section>`,
    )}
  </div>`;
}
