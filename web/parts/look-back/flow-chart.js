// How the work of a product went through its stations: bands upon each other, drawn by the chart
// library, and the figures in a table. <${FlowChart} back=${back} />

import { html, useEffect, useRef, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { decimal, measured, span } from '../../core/format.js';
import { entriesOf } from '../../core/flow.js';
import { flowBands } from '../../core/flow-bands.js';
import { chartFrame, colourOf, COLOURS, DASHES, useChartStyle } from './chart-look.js';
import { FiguresTable } from './figures-table.js';

const MINUTE_MS = 60000;

function nameOf(back, station) {
  return station === null ? t('look-back.finished') : (back.stations?.[station]?.name ?? station);
}

/** The upper bands first, so that those below are drawn over them. */
function series(back, layers, paths) {
  const drawn = layers.map(({ station }, index) => ({
    label: nameOf(back, station),
    stroke: colourOf(COLOURS[index % COLOURS.length]),
    fill: `${colourOf(COLOURS[index % COLOURS.length])}${index % 2 ? '99' : 'dd'}`,
    width: 2,
    dash: DASHES[index % DASHES.length],
    paths,
    points: { show: false },
  }));
  return [{}, ...drawn.reverse()];
}

function Stays({ back, flow }) {
  const heads = ['word.station', 'look-back.came', 'look-back.mean-in', 'look-back.mean-stay'];
  const amount = (thousandths, measure) =>
    measure ? measured(thousandths, measure) : decimal(thousandths);
  const rows = flow.stages
    .filter(({ came }) => came > 0)
    .map((stage) => [
      nameOf(back, stage.station),
      amount(stage.came, stage.measure),
      amount(Math.round(stage.mean_in_place * 1000), stage.measure),
      span(stage.mean_stay_min * MINUTE_MS),
    ]);
  return html`<${FiguresTable}
    label=${t('look-back.flow')}
    heads=${heads.map((key) => t(key))}
    rows=${rows}
  />`;
}

/** The chart of one product at a time, the one of which most was finished first. */
export function FlowChart({ back }) {
  const room = useRef(null);
  const flows = entriesOf(back.flows).filter(([, flow]) =>
    flowBands(flow, back.opened_at, back.to),
  );
  const made = (id) => (back.made?.[id]?.finished ?? 0) + (back.made?.[id]?.cooling ?? 0);
  flows.sort(([a], [b]) => made(b) - made(a) || (a < b ? -1 : 1));
  const [picked, setPicked] = useState(null);
  const [id, flow] = flows.find(([one]) => one === picked) ?? flows[0] ?? [];
  useChartStyle();
  useEffect(() => {
    if (!room.current || !flow) return undefined;
    let chart = null;
    let gone = false;
    const { moments, layers } = flowBands(flow, back.opened_at, back.to);
    import('../../vendor/uplot.js').then(({ default: Chart }) => {
      if (gone || !room.current) return;
      const wanted = {
        ...chartFrame(room.current.clientWidth - 16),
        series: series(back, layers, Chart.paths.stepped({ align: 1 })),
        // Each is filled down to the next one only, so that no colours mix.
        bands: layers.slice(1).map((_, index) => ({ series: [index + 1, index + 2] })),
      };
      const columns = layers.map(({ top }) => top).reverse();
      chart = new Chart(wanted, [moments, ...columns], room.current);
    });
    return () => {
      gone = true;
      chart?.destroy();
    };
  }, [id, back]);
  if (!flow) return html`<p class="soft">${t('look-back.no-depth')}</p>`;
  const name = (one) => back.products?.[one] ?? one;
  return html`<p class="soft">${t('look-back.flow-about')}</p>
    ${
      flows.length > 1 &&
      html`<div class="choices" role="group" aria-label=${t('look-back.flow-choose')}>
        ${flows.map(
          ([one]) =>
            html`<button
              key=${one}
              class="button choice"
              aria-pressed=${one === id}
              onClick=${() => setPicked(one)}
            >
              ${name(one)}
            </button>`,
        )}
      </div>`
    }
    <div
      class="chart flow-chart"
      role="img"
      aria-label=${t('look-back.flow-label', { product: name(id) })}
      ref=${room}
    ></div>
    <${Stays} back=${back} flow=${flow} />`;
}
