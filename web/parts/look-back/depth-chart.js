// Queue depth over time, one line for each chosen queue, drawn by the chart library, which is
// loaded only here. <${DepthChart} back=${back} />

import { html, useEffect, useRef, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { fetchStyle } from '../later.js';
import { entriesOf } from '../../core/flow.js';
import { depthTable } from '../../core/depth-table.js';

const DASHES = [[], [8, 4], [2, 3], [12, 3, 2, 3], [5, 5], [1, 4]];
const COLOURS = ['--rim', '--act', '--leaf', '--hot', '--fruit-line', '--ink-soft'];
const MOST = COLOURS.length;

function colour(index) {
  return getComputedStyle(document.documentElement)
    .getPropertyValue(COLOURS[index % MOST])
    .trim();
}

function options(chosen, width, ink, paths) {
  const axis = {
    stroke: ink,
    grid: { stroke: `${ink}33`, width: 1 },
    ticks: { stroke: `${ink}55`, width: 1 },
    font: '14px system-ui',
  };
  return {
    width,
    height: Math.max(260, Math.min(420, width * 0.5)),
    legend: { show: true, live: false },
    scales: { x: { time: true }, y: { range: (_, __, most) => [0, Math.max(1, most * 1.1)] } },
    axes: [
      { ...axis, values: [[60, '{HH}:{mm}']], space: 70 },
      { ...axis, size: 56 },
    ],
    series: [
      {},
      ...chosen.map(({ name }, index) => ({
        label: name,
        stroke: colour(index),
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

/** The colour of text as #rrggbb, for a canvas. */
function ink() {
  const parts = getComputedStyle(document.body).color.match(/\d+/g).slice(0, 3);
  return `#${parts.map((one) => Number(one).toString(16).padStart(2, '0')).join('')}`;
}

/** The chart with its choice of queues; the figures stand in the table below it. */
export function DepthChart({ back }) {
  const room = useRef(null);
  const queues = queuesOf(back);
  const [picked, setPicked] = useState(null);
  const chosen = picked ?? queues.slice(0, 4).map(({ id }) => id);
  useEffect(() => {
    fetchStyle('/vendor/uplot.css').catch(() => {});
  }, []);
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
        ink(),
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
    <div class="chart" role="img" aria-label=${t('look-back.chart-label')} ref=${room}></div>
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
