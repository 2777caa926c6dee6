// A queue's last hour as a small chart with its words. <${Spark} app=${app} id="wash" width=${54}
// height=${18} />; `quiet` where the words stand elsewhere.

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { carrierAt } from '../../core/outlook-words.js';
import { sparkOf } from '../../core/outlook-charts.js';
import { quarters } from '../../core/format.js';

/** Carriers to the quarter, as everywhere on the board. */
const inQuarters = (carriers) => quarters(Math.round(carriers * 1000));

/** What the chart shows, in one sentence; '' without a queue. */
export function sparkWords(view, ahead, id) {
  const spark = sparkOf(ahead?.stations?.[id]?.queue, ahead?.at, { width: 1, height: 1 });
  if (!spark) return '';
  return t('spark.label', {
    first: inQuarters(spark.first),
    most: inQuarters(spark.most),
    last: inQuarters(spark.last),
    name: carrierAt(view, id) ?? '',
  });
}

/** The chart; none of an hour in which nothing waited. */
export function Spark({ app, id, width, height, quiet }) {
  const spark = sparkOf(app.ahead?.stations?.[id]?.queue, app.ahead?.at, { width, height });
  if (!spark?.most) return null;
  const said = quiet ? { 'aria-hidden': 'true' } : { role: 'img' };
  return html`<svg
    class="spark"
    ...${said}
    aria-label=${quiet ? undefined : sparkWords(app.view, app.ahead, id)}
    width=${width}
    height=${height}
    viewBox=${`0 0 ${width} ${height}`}
    preserveAspectRatio="none"
  >
    <path class="spark-ground" d=${`M0 ${height}H${width}`} />
    <path class="spark-area" d=${spark.area} />
    <path class="spark-line" d=${spark.line} />
  </svg>`;
}
