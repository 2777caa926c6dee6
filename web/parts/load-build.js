// Choosing the jars for a load: starts with as many as wait and fit.
// <${BuildLoad} app=${app} stationId="canners" one=${one} onDone=${fresh} />

import { html, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf, waitingAt } from '../core/flow.js';
import { OrderForm } from './order-form.js';
import { Stepper } from './stepper.js';
import { Mark } from './pictures.js';

const jarOf = (view, product) => view.products[product]?.ends_in?.jar ?? 'quart';

/** As many jars of each product as wait and fit into a canner that holds so many of each size. */
export function suggestedJars(view, station, holds) {
  let room = 1;
  return Object.fromEntries(
    waitingAt(station).map((one) => {
      const most = holds[jarOf(view, one.product)] ?? 0;
      const jars = Math.min(Math.floor(one.amount / 1000), Math.floor(most * room + 1e-9));
      if (most > 0) room -= jars / most;
      return [one.product, jars];
    }),
  );
}

/** The form that puts waiting jars into the canner. */
export function BuildLoad({ app, stationId, one: { id, canner }, onDone }) {
  const station = app.view.stations[stationId];
  const list = waitingAt(station);
  const [chosen, setChosen] = useState({});
  const suggested = suggestedJars(app.view, station, canner.holds);
  const holds = entriesOf(canner.holds)
    .map(([jar, n]) => t('load.holds', { n, jar: t(`jar.${jar}`, { n }) }))
    .join(t('list.or'));
  const jars = (product) => chosen[product] ?? suggested[product] ?? 0;
  const build = () => {
    const picked = list
      .map((one) => ({ product: one.product, jars: jars(one.product) }))
      .filter((one) => one.jars > 0);
    if (!picked.length) return t('load.no-jars');
    return {
      order: 'build-load',
      load: app.mint('load'),
      station: stationId,
      canner: id,
      jars: picked,
    };
  };
  return html`<h3>${t('load.none', { canner: canner.name })}</h3>
    <p class="soft">${t('load.takes', { holds })}</p>
    ${app.view.day.altitude_ft === undefined &&
      html`<p class="caution"><${Mark} of="warn" />${t('warning.altitude')}</p>`}
    ${
      list.length === 0
        ? html`<p>${t('load.no-jars-wait')}</p>`
        : html`<${OrderForm} app=${app} button=${t('load.build')} build=${build} onDone=${onDone}>
            ${list.map(
              (one) =>
                html`<${Stepper}
                  key=${one.product}
                  value=${jars(one.product)}
                  most=${Math.floor(one.amount / 1000)}
                  label=${app.view.products[one.product]?.name}
                  sub=${t('load.of-waiting', { n: Math.floor(one.amount / 1000) })}
                  onValue=${(n) => setChosen({ ...chosen, [one.product]: n })}
                />`,
            )}<//
          >`
    }`;
}
