// The finish as it was seen over the day, against the cut-off. Small beside the words, large on
// the sheet. <${FinishChart} app=${app} large=${true} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { timeOfDay } from '../../core/format.js';
import { finishChart } from '../../core/outlook-charts.js';
import { finishSentence } from '../../core/outlook-words.js';

const SMALL = { width: 92, height: 54, left: 2, right: 8, top: 3, bottom: 3 };
const LARGE = { width: 460, height: 220, left: 46, right: 14, top: 10, bottom: 26 };

function said(app) {
  const { outlook, view, now } = app;
  const earlier = (outlook.earlier ?? [])
    .filter((_, index, all) => index === 0 || index === Math.floor(all.length / 2))
    .map(({ at, p50 }) =>
      t('finish.chart-earlier', { when: timeOfDay(at), at: timeOfDay(p50) }),
    );
  const sentence = t('finish.chart', { now: finishSentence(view, outlook, now) });
  return [sentence, ...earlier].join(' ');
}

function Labels({ chart }) {
  const { left, bottom } = chart.frame;
  return html`<g class="chart-labels">
    ${chart.up.map(
      ({ at, y }) =>
        html`<g key=${at}
          ><path class="chart-grid" d=${`M${left} ${y}H${chart.frame.right}`} />
          <text x=${left - 6} y=${y + 4} text-anchor="end">${timeOfDay(at)}</text></g
        >`,
    )}
    ${chart.across.map(
      ({ at, x }) => html`<text key=${at} x=${x} y=${bottom + 18} text-anchor="middle">
        ${timeOfDay(at)}
      </text>`,
    )}
  </g>`;
}

/** The chart; it says in words what it shows. */
export function FinishChart({ app, large }) {
  const cutOff = app.view.day.cut_off_at;
  const size = large ? LARGE : SMALL;
  const offset = -new Date(app.outlook.at).getTimezoneOffset() * 60000;
  const chart = finishChart(app.outlook, cutOff, size, offset);
  if (!chart) return null;
  const { frame, now } = chart;
  const late = chart.cutOff !== null && chart.cutOff > frame.top;
  return html`<svg
    class=${large ? 'finish-chart finish-chart-large' : 'finish-chart'}
    role="img"
    aria-label=${said(app)}
    viewBox=${`0 0 ${size.width} ${size.height}`}
    width=${size.width}
    height=${size.height}
  >
    ${
      late &&
      html`<rect
        class="chart-late"
        x=${frame.left}
        y=${frame.top}
        width=${frame.right - frame.left}
        height=${chart.cutOff - frame.top}
      />`
    }
    ${large && html`<${Labels} chart=${chart} />`}
    <path class="chart-band" d=${chart.band} />
    <path class="chart-middle" d=${chart.middle} />
    ${
      chart.cutOff !== null &&
      html`<path class="chart-cut-off" d=${`M${frame.left} ${chart.cutOff}H${frame.right}`} />`
    }
    ${
      large &&
      chart.cutOff !== null &&
      html`<text class="chart-cut-word" x=${frame.left + 6} y=${chart.cutOff - 6}>
        ${t('finish.cut-off', { at: timeOfDay(cutOff) })}
      </text>`
    }
    <path class="chart-now" d=${`M${now.x} ${now.early}V${now.late}`} />
    <circle class="chart-point" cx=${now.x} cy=${now.middle} r=${large ? 5 : 4} />
  </svg>`;
}
