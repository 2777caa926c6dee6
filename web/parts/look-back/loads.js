// The loads of a day as a table. <${Loads} back=${back} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { span, timeOfDay } from '../../core/format.js';
import { entriesOf } from '../../core/flow.js';
import { FiguresTable } from './figures-table.js';

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
    'look-back.idle-before',
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
    load.canner_idle_before_ms === undefined ? '–' : span(load.canner_idle_before_ms),
    remarks(load),
  ]);
  return html`<section>
    <h2>${t('look-back.loads')}</h2>
    <${FiguresTable} label=${t('look-back.loads')} heads=${heads} rows=${rows} />
  </section>`;
}
