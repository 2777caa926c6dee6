// The stations and the loads of a day as tables. <${Stations} back=${back} /> <${Loads}
// back=${back} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { quarters, span, timeOfDay } from '../../core/format.js';
import { entriesOf } from '../../core/flow.js';

function Table({ label, heads, rows }) {
  return html`<div class="table-room" tabindex="0" role="region" aria-label=${label}>
    <table>
      <thead>
        <tr>
          ${heads.map((head) => html`<th scope="col" key=${head}>${head}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          ([name, ...cells]) =>
            html`<tr key=${name}>
              <th scope="row">${name}</th>
              ${cells.map((cell, index) => html`<td key=${index}>${cell}</td>`)}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

function deepestWords(back, deepest) {
  if (!deepest) return '';
  return t('look-back.deepest-words', {
    carriers: quarters(deepest.carriers),
    product: back.products?.[deepest.product] ?? deepest.product,
    at: timeOfDay(deepest.at),
  });
}

/** Busy, waiting for work, nobody there, and the deepest queue. */
export function Stations({ back }) {
  const heads = [
    'word.station',
    'look-back.busy',
    'look-back.starved',
    'look-back.unstaffed',
    'look-back.deepest',
  ].map((key) => t(key));
  const worked = ([, one]) => one.busy_ms + one.starved_ms + one.unstaffed_ms > 0;
  const rows = entriesOf(back.stations)
    .filter(worked)
    .map(([, one]) => [
      one.name,
      span(one.busy_ms),
      span(one.starved_ms),
      span(one.unstaffed_ms),
      deepestWords(back, one.deepest),
    ]);
  return html`<${Table} label=${t('look-back.stations')} heads=${heads} rows=${rows} />`;
}

function jarsOf(back, load) {
  return entriesOf(load.jars)
    .map(([product, n]) => `${n} × ${back.products?.[product] ?? product}`)
    .join(', ');
}

/** Every load: what, when, how long, what went wrong. */
export function Loads({ back }) {
  const list = entriesOf(back.loads).sort(([, a], [, b]) => a.built_at - b.built_at);
  if (!list.length) return null;
  const heads = [
    'look-back.load',
    'look-back.boil',
    'look-back.process',
    'look-back.heat-up',
    'look-back.remarks',
  ].map((key) => t(key));
  const remarks = (load) =>
    [
      load.short && t('look-back.short'),
      load.boils_lost?.length > 0 && t('load.lost-times.boil', { n: load.boils_lost.length }),
      load.broken?.length > 0 &&
        t('look-back.broken', { n: load.broken.reduce((sum, one) => sum + one.jars, 0) }),
    ]
      .filter(Boolean)
      .join(' ');
  const rows = list.map(([, load]) => [
    jarsOf(back, load),
    load.boil_at === undefined ? '–' : timeOfDay(load.boil_at),
    load.process_ms === undefined
      ? '–'
      : t('look-back.of-minutes', { span: span(load.process_ms), minutes: load.minutes }),
    load.heat_up_ms === undefined ? '–' : span(load.heat_up_ms),
    remarks(load),
  ]);
  return html`<section>
    <h2>${t('look-back.loads')}</h2>
    <${Table} label=${t('look-back.loads')} heads=${heads} rows=${rows} />
  </section>`;
}
