// Queue depth over time, one line for each chosen station, drawn by the chart library, which is
// loaded only here. <${DepthChart} stations=${lookBack.stations} />

import { html, useEffect, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { depthTable } from '../core/depth-table.js';

const DASHES = [[], [8, 4], [2, 3], [12, 3, 2, 3], [5, 5], [1, 4]];
const COLOURS = ['--rim', '--act', '--leaf', '--hot', '--fruit-line', '--ink-soft'];
const MOST = COLOURS.length;

function colour(index) {
  return getComputedStyle(document.documentElement).getPropertyValue(COLOURS[index % MOST]).trim();
}

function useStyleSheet() {
  useEffect(() => {
    const sheet = Object.assign(document.createElement('link'), { rel: 'stylesheet', href: 'vendor/uplot.css' });
    document.head.append(sheet);
    return () => sheet.remove();
  }, []);
}

function options(chosen, width, ink, paths) {
  const axis = { stroke: ink, grid: { stroke: `${ink}33`, width: 1 }, ticks: { stroke: `${ink}55`, width: 1 }, font: '14px system-ui' };
  return {
    width, height: Math.max(260, Math.min(420, width * 0.5)), legend: { show: true, live: false },
    scales: { x: { time: true }, y: { range: (_, __, most) => [0, Math.max(1, most * 1.1)] } },
    axes: [{ ...axis, values: [[60, '{HH}:{mm}']], space: 70 }, { ...axis, size: 56 }],
    series: [{}, ...chosen.map(({ name }, index) => ({ label: name, stroke: colour(index), width: 3, dash: DASHES[index], paths, points: { show: false } }))],
  };
}

/** The chart with its choice of stations; the same numbers stand in the table below it. */
export function DepthChart({ stations }) {
  const room = useRef(null);
  const deep = entriesOf(stations).filter(([, one]) => one.depth?.length > 1);
  const [picked, setPicked] = useState(null);
  const chosen = picked ?? deep.slice(0, 4).map(([id]) => id);
  useStyleSheet();
  useEffect(() => {
    if (!room.current || !chosen.length) return undefined;
    let chart = null;
    let gone = false;
    const lines = chosen.filter((id) => stations[id]).map((id) => ({ name: stations[id].name ?? id, depth: stations[id].depth }));
    import('../vendor/uplot.js').then(({ default: Chart }) => {
      if (gone || !room.current) return;
      const ink = getComputedStyle(document.body).color.replace(/rgb\((\d+), (\d+), (\d+)\)/, (_, ...rgb) => (
        `#${rgb.slice(0, 3).map((one) => Number(one).toString(16).padStart(2, '0')).join('')}`));
      chart = new Chart(options(lines, room.current.clientWidth - 16, ink, Chart.paths.stepped({ align: 1 })), depthTable(lines), room.current);
    });
    return () => { gone = true; chart?.destroy(); };
  }, [chosen.join(' '), stations]);
  if (!deep.length) return html`<p class="soft">${t('look-back.no-depth')}</p>`;
  const flip = (id) => setPicked(chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id].slice(-MOST));
  return html`<div class="chart" role="img" aria-label=${t('look-back.chart-label')} ref=${room}></div>
    <div class="choices" role="group" aria-label=${t('look-back.choose')}>${deep.map(([id, one]) => html`
      <button key=${id} class="button choice" aria-pressed=${chosen.includes(id)} onClick=${() => flip(id)}>${one.name ?? id}</button>`)}</div>`;
}
