// The canners of a station: what waits for them, what must still be said of it, and each canner
// with its load or with the form for the next one.
// <${Canners} app=${app} stationId="canners" helperId="maren" />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { cannersAt, entriesOf } from '../../core/flow.js';
import { heatOfLoad } from '../../core/process.js';
import { span } from '../../core/format.js';
import { timersAt } from '../../core/timers.js';
import { stoodTooLong } from '../../core/stands.js';
import { BigTimer } from '../timers.js';
import { Divert } from '../divert.js';
import { Fold } from '../sheet.js';
import { Mark } from '../pictures.js';
import { ProcessFacts } from '../process-facts.js';
import { Waiting } from '../waiting.js';
import { BuildLoad } from './load-build.js';
import { ConfirmJars } from './confirm-jars.js';
import { Phase } from './phases.js';

/** "6 × Pear halves, 1 × Plum puree" of a load's jars. */
export function jarsWords(view, load) {
  return entriesOf(load.jars)
    .map(([product, lots]) => {
      const n = Object.values(lots).reduce((sum, amount) => sum + amount, 0) / 1000;
      return `${n} × ${view.products[product]?.name ?? product}`;
    })
    .join(', ');
}

/** Said of jars whose time was not full, wherever they are seen. */
export function ShortMark() {
  return html`<p class="caution caution-danger"><${Mark} of="danger" />${t('load.short')}</p>`;
}

function InCanner({ app, stationId, helperId, one }) {
  const { load, loadId } = one;
  const { view } = app;
  const by = load.process?.decided_by;
  const heat = heatOfLoad(view, load);
  const phase = load.phase === 'resting' && load.zero_at ? 'zero' : load.phase;
  const mixed = entriesOf(load.jars).length > 1;
  return html`<h3>${one.canner.name}: ${t(`load.phase.${phase}.${heat}`)}</h3>
    <p>${jarsWords(view, load)}</p>
    ${load.short && html`<${ShortMark} />`}
    ${
      load.unknown_ms > 0 &&
      html`<p class="caution">
        <${Mark} of="warn" />${t('load.unknown', { span: span(load.unknown_ms) })}
      </p>`
    }
    ${load.lost > 0 && html`<p class="soft">${t(`load.lost-times.${heat}`, { n: load.lost })}</p>`}
    ${timersAt(app.timers, stationId)
      .filter((timer) => timer.load === loadId)
      .map((timer) => html`<${BigTimer} key=${timer.kind} view=${view} timer=${timer} />`)}
    <${ProcessFacts}
      tested=${load.process?.tested}
      by=${mixed ? (view.products[by]?.name ?? by) : null}
      water=${load.phase === 'loading' ? view.products[by]?.process : null}
    />
    <${Phase} key=${load.phase} app=${app} id=${loadId} load=${load} helper=${helperId} />`;
}

/** Jars that stood too long for a canner, with the ways that are left. */
function StoodJars({ app, stationId }) {
  const list = entriesOf(app.view.stations[stationId].waiting).filter(([, one]) =>
    stoodTooLong(one, app.now),
  );
  return list.map(
    ([product]) =>
      html`<section class="card card-stood" key=${product}>
        <h3>${t('stood.title', { product: app.view.products[product]?.name ?? product })}</h3>
        <p>${t('load.fault.stood')}</p>
        <${Fold} title=${t('stood.away')}
          ><${Divert} app=${app} stationId=${stationId} product=${product}
        /><//>
      </section>`,
  );
}

/** The first free canner asks for jars openly; the others wait folded. */
function Free({ app, stationId, one, first, onDone }) {
  const form = html`<${BuildLoad} app=${app} stationId=${stationId} one=${one} onDone=${onDone} />`;
  if (first) return form;
  return html`<${Fold} title=${t('load.none', { canner: one.canner.name })}>${form}<//>`;
}

/** The station's work: what is on the heat first, then what must be said, then the free ones. */
export function Canners({ app, stationId, helperId }) {
  const [round, setRound] = useState(0);
  const all = cannersAt(app.view, stationId);
  const loaded = all.filter(({ load }) => load);
  const free = all.filter(({ load }) => !load);
  const props = { app, stationId, helperId };
  return html`<div class="pots">
    ${loaded.map(
      (one) =>
        html`<section class="card" key=${one.id} aria-label=${one.canner.name}>
          <${InCanner} key=${one.loadId} ...${props} one=${one} />
        </section>`,
    )}
    ${
      free.length === 0 &&
      html`<section key="waits" aria-label=${t('station.waiting')}>
        <${Waiting} app=${app} station=${app.view.stations[stationId]} scale=${0.8} />
      </section>`
    }
    <${StoodJars} key="stood" ...${props} />
    <${ConfirmJars} key="confirm" ...${props} />
    ${free.map(
      (one, index) =>
        html`<section class="card" key=${one.id} aria-label=${one.canner.name}>
          <${Free}
            key=${round}
            ...${props}
            one=${one}
            first=${index === 0}
            onDone=${() => setRound(round + 1)}
          />
        </section>`,
    )}
  </div>`;
}
