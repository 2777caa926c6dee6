// The canners of a station: what waits for them, what must still be said of it, and each canner
// with its load or with the form for the next one.
// <${Canners} app=${app} stationId="canners" helperId="maren" />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { cannersAt, entriesOf } from '../../core/flow.js';
import { heatOfLoad } from '../../core/process.js';
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
  return html`<p class="caution caution-danger">
    <${Mark} of="danger" />${t('load.short')}
  </p>`;
}

function InCanner({ app, stationId, helperId, one }) {
  const { load, loadId } = one;
  const { view } = app;
  const by = load.process?.decided_by;
  const heat = heatOfLoad(view, load);
  return html`<h3>${one.canner.name}: ${t(`load.phase.${load.phase}.${heat}`)}</h3>
    <p>${jarsWords(view, load)}</p>
    ${load.short && html`<${ShortMark} />`}
    ${load.lost > 0 && html`<p class="soft">${t(`load.lost-times.${heat}`, { n: load.lost })}</p>`}
    ${timersAt(app.timers, stationId)
      .filter((timer) => timer.load === loadId)
      .map((timer) => html`<${BigTimer} key=${timer.kind} view=${view} timer=${timer} />`)}
    <${ProcessFacts}
      tested=${load.process?.tested}
      by=${view.products[by]?.name ?? by}
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

/** The station's work. */
export function Canners({ app, stationId, helperId }) {
  const [round, setRound] = useState(0);
  return html`<div class="pots">
    <section aria-label=${t('station.waiting')}>
      <${Waiting} app=${app} station=${app.view.stations[stationId]} scale=${0.8} />
    </section>
    <${StoodJars} app=${app} stationId=${stationId} />
    <${ConfirmJars} app=${app} stationId=${stationId} helperId=${helperId} />
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
