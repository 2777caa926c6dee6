// What the charts of the look back share: the library's style sheet, colours of the tokens, axes.

import { useEffect } from '../../ui.js';
import { fetchStyle } from '../later.js';

/** Colours that stand apart by day and by lamp light, by their tokens. */
export const COLOURS = ['--leaf', '--rim', '--fruit', '--act', '--fruit-line', '--ink-soft', '--hot'];
/** Each line has a dash of its own, for eyes and paper without colours. */
export const DASHES = [[], [8, 4], [2, 3], [12, 3, 2, 3], [5, 5], [1, 4], [14, 6]];

/** The colour of a token. */
export const colourOf = (token) =>
  getComputedStyle(document.documentElement).getPropertyValue(token).trim();

/** The colour of text as #rrggbb, for a canvas. */
export function ink() {
  const parts = getComputedStyle(document.body).color.match(/\d+/g).slice(0, 3);
  return `#${parts.map((one) => Number(one).toString(16).padStart(2, '0')).join('')}`;
}

/** The chart library's style sheet; without it the figures are still in their table. */
export function useChartStyle() {
  useEffect(() => {
    fetchStyle('/vendor/uplot.css').catch(() => {});
  }, []);
}

/** Size, scales and axes of a chart over the day. */
export function chartFrame(width) {
  const axis = {
    stroke: ink(),
    grid: { stroke: `${ink()}33`, width: 1 },
    ticks: { stroke: `${ink()}55`, width: 1 },
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
  };
}
