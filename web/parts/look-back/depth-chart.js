// Queue depth over time, one line for each chosen queue, drawn by the chart library, which is
// loaded only here. <${DepthChart} back=${back} />

import { html, useEffect, useRef, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';
import { depthTable } from '../../core/depth-table.js';
import { chartFrame, colourOf, COLOURS, DASHES, useChartStyle } from './chart-look.js';

const MOST = COLOURS.length;

function options(chosen, width, paths) {
  return {
    ...chartFrame(width),
    series: [
      {},
      ...chosen.map(({ name }, index) => ({
        label: name,
        stroke: colourOf(COLOURS[index % MOST]),
        width: 3,
        dash: DASHES[index],
        paths,
        points: { show: false },
      })),
    ],
  };
}

/** Every queue that ever held something: one station, one product; the deepest stations first. */
function queuesOf(back) {
  return entriesOf(back.stations)
    .flatMap(([stationId, station]) =>
      entriesOf(station.depth)
        .filter(([, depth]) => depth.length > 1)
        .map(([product, depth]) => {
          const several = Object.keys(station.depth).length > 1;
          const name = back.products?.[product] ?? product;
          return {
            id: `${stationId} ${product}`,
            name: several ? `${station.name}: ${name}` : station.name,
            depth,
            waited: station.waited?.[product] ?? 0,
          };
        }),
    )
    .sort((a, b) => b.waited - a.waited || (a.id < b.id ? -1 : 1));
}

/** The chart with its choice of queues; the figures stand in the table below it. */
export function DepthChart({ back }) {
  const room = useRef(null);
  const queues = queuesOf(back);
  const [picked, setPicked] = useState(null);
  const chosen = picked ?? queues.slice(0, 4).map(({ id }) => id);
  useChartStyle();
  useEffect(() => {
    if (!room.current || !chosen.length) return undefined;
    let chart = null;
    let gone = false;
    const lines = chosen.map((id) => queues.find((one) => one.id === id)).filter(Boolean);
    import('../../vendor/uplot.js').then(({ default: Chart }) => {
      if (gone || !room.current) return;
      const wanted = options(
        lines,
        room.current.clientWidth - 16,
        Chart.paths.stepped({ align: 1 }),
      );
      chart = new Chart(wanted, depthTable(lines, back.to), room.current);
    });
    return () => {
      gone = true;
      chart?.destroy();
    };
  }, [chosen.join('/'), back]);
  if (!queues.length) return html`<p class="soft">${t('look-back.no-depth')}</p>`;
  const flip = (id) =>
    setPicked(
      chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id].slice(-MOST),
    );
  return html`<p class="soft">${t('look-back.depth-about')}</p>
    <div class="chart depth-chart" role="img" aria-label=${t('look-back.chart-label')} ref=${room}></div>
    <div class="choices" role="group" aria-label=${t('look-back.choose')}>
      ${queues
        .slice(0, 14)
        .map(
          ({ id, name }) =>
            html`<button
              key=${id}
              class="button choice"
              aria-pressed=${chosen.includes(id)}
              onClick=${() => flip(id)}
            >
              ${name}
            </button>`,
        )}
    </div>`;
}
