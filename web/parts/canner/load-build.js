// Choosing the jars for a load: starts with the oldest product that fits. What stands against a
// choice is said while choosing; mixing is the lead's to confirm.
// <${BuildLoad} app=${app} stationId="canners" one=${one} onDone=${fresh} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { faultsOf, jarsInOrder, longestOf, suggestedJars } from '../../core/load-choice.js';
import { OrderForm } from '../order-form.js';
import { ProcessFacts, NoProcess, minutesWords } from '../process-facts.js';
import { Standing } from '../standing.js';
import { Stepper } from '../stepper.js';
import { Mark } from '../pictures.js';

const whole = (one) => Math.floor((one?.amount ?? 0) / 1000);

const holdsWords = (holds) =>
  entriesOf(holds)
    .map(([jar, n]) => t('load.holds', { n, jar: t(`jar.${jar}`, { n }) }))
    .join(t('list.or'));

function Jars({ app, one, jars, onJars }) {
  const { name, process } = app.view.products[one.product] ?? { name: one.product };
  if (process?.refused)
    return html`<div class="load-jars">
      <b>${name}</b>
      <${NoProcess} refused=${process.refused} />
    </div>`;
  const sub = [
    t('load.of-waiting', { n: whole(one) }),
    process?.tested && minutesWords(process.tested),
  ];
  return html`<div class="load-jars">
    <${Stepper}
      value=${jars}
      most=${whole(one)}
      label=${name}
      sub=${sub.filter(Boolean).join(' · ')}
      onValue=${onJars}
    />
    <${Standing} app=${app} one=${one} />
  </div>`;
}

function Faults({ app, faults, holds }) {
  const said = faults.filter((fault) => fault !== 'mixed' || !faults.includes('packs'));
  return said.map((fault) => {
    const key = fault === 'mixed' && !app.lead ? 'load.fault.mixed-ask' : `load.fault.${fault}`;
    return html`<p class="caution" key=${fault} role="status">
      <${Mark} of="warn" />${t(key, { holds: holdsWords(holds) })}
    </p>`;
  });
}

function Mixed({ longest, by, onBack }) {
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${t('load.mixed-title')}</strong></p>
      ${
        longest &&
        html`<p>${t('load.mixed-why', { minutes: minutesWords(longest.tested), product: by })}</p>`
      }
      <div class="row">
        <button type="button" class="button" onClick=${onBack}>${t('load.mixed-back')}</button>
      </div>
    </div>
  </div>`;
}

/** What is chosen, what stands against it, and the order it makes. */
function useChoice(app, stationId, { id, canner }) {
  const { view } = app;
  const station = view.stations[stationId];
  const list = jarsInOrder(station);
  const [chosen, setChosen] = useState({});
  const [asking, setAsking] = useState(false);
  const suggested = suggestedJars(view, station, canner.holds, app.now);
  const jars = (product) =>
    Math.min(chosen[product] ?? suggested[product] ?? 0, whole(station.waiting[product]));
  const picked = list
    .map((one) => ({ product: one.product, jars: jars(one.product) }))
    .filter((one) => one.jars > 0);
  const faults = faultsOf(view, station, canner.holds, picked, app.now);
  const confirms = app.lead && faults.length === 1 && faults[0] === 'mixed';
  const put = (product) => (n) => {
    setChosen({ ...chosen, [product]: n });
    setAsking(false);
  };
  const build = () => {
    if (!picked.length) return t('load.no-jars');
    if (faults.includes('mixed') && !app.lead) return t('load.mixed-ask-lead');
    if (confirms && !asking) {
      setAsking(true);
      return null;
    }
    const mixed = confirms && { mixed: true };
    const load = app.mint('load');
    return { order: 'build-load', load, station: stationId, canner: id, jars: picked, ...mixed };
  };
  const asks = confirms && asking;
  return { list, jars, picked, faults, asks, put, build, back: () => setAsking(false) };
}

function Choose({ app, stationId, one, onDone }) {
  const { list, jars, picked, faults, asks, put, build, back } = useChoice(app, stationId, one);
  const { products } = app.view;
  const longest = longestOf(app.view, picked);
  const by = longest && products[longest.product]?.name;
  return html`<${OrderForm}
    app=${app}
    button=${t(asks ? 'load.mixed-yes' : 'load.build')}
    build=${build}
    onDone=${onDone}
  >
    ${list.map(
      (waits) =>
        html`<${Jars}
          key=${waits.product}
          app=${app}
          one=${waits}
          jars=${jars(waits.product)}
          onJars=${put(waits.product)}
        />`,
    )}
    <${Faults} app=${app} faults=${faults} holds=${one.canner.holds} />
    <${ProcessFacts}
      tested=${longest?.tested}
      by=${picked.length > 1 ? by : null}
      water=${longest && products[longest.product]?.process}
    />
    ${asks && html`<${Mixed} longest=${longest} by=${by} onBack=${back} />`}<//
  >`;
}

/** The form that puts waiting jars into the canner. */
export function BuildLoad({ app, stationId, one, onDone }) {
  const { canner } = one;
  const waits = jarsInOrder(app.view.stations[stationId]).some((entry) => whole(entry) > 0);
  return html`<h3>${t('load.none', { canner: canner.name })}</h3>
    <p class="soft">${t('load.takes', { holds: holdsWords(canner.holds) })}</p>
    ${
      app.view.day.altitude_ft === undefined &&
      html`<p class="caution"><${Mark} of="warn" />${t('warning.altitude')}</p>`
    }
    ${
      waits
        ? html`<${Choose} app=${app} stationId=${stationId} one=${one} onDone=${onDone} />`
        : html`<p>${t('load.no-jars-wait')}</p>`
    }`;
}
