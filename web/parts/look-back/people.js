// The people in a sentence each, compared with nobody; and what left its route or was lost.
// <${People} back=${back} /> <${Waste} back=${back} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { decimal, measured } from '../../core/format.js';
import { entriesOf } from '../../core/flow.js';
import { personWords, togetherWords } from '../../core/look-back.js';

/** A sentence for each person by name, and what all did together. */
export function People({ back }) {
  const list = personWords(back);
  const together = togetherWords(back);
  if (!list.length) return null;
  return html`<section>
    <h2>${t('look-back.people')}</h2>
    <ul class="told">
      ${list.map((words) => html`<li key=${words}>${words}</li>`)}
    </ul>
    ${together && html`<p>${together}</p>`}
  </section>`;
}

const WAYS = [
  'scraps',
  'fresh',
  'refrigerator',
  'freezer',
  'other_route',
  'broken',
  'missing',
  'found',
];

function wasteLines(back) {
  return entriesOf(back.waste).flatMap(([station, products]) =>
    entriesOf(products).flatMap(([product, one]) =>
      WAYS.filter((way) => one[way] > 0).map((way) => ({
        key: `${station} ${product} ${way}`,
        way,
        amount: one.measure ? measured(one[way], one.measure) : decimal(one[way]),
        product: back.products?.[product] ?? product,
        station: back.stations?.[station]?.name ?? station,
      })),
    ),
  );
}

/** What went other ways, and work that was sent back. */
export function Waste({ back }) {
  const lines = wasteLines(back);
  const rework = back.rework ?? [];
  if (!lines.length && !rework.length && !(back.trimmings_lb > 0)) return null;
  const name = (id) => back.stations?.[id]?.name ?? id;
  return html`<section>
    <h2>${t('look-back.waste')}</h2>
    <ul class="told">
      ${back.trimmings_lb > 0 &&
        html`<li>${t('look-back.trimmings', { amount: measured(back.trimmings_lb, 'lb') })}</li>`}
      ${lines.map((line) => html`<li key=${line.key}>${t(`waste.${line.way}`, line)}</li>`)}
      ${rework.map(
        (one) =>
          html`<li key=${`${one.product} ${one.from} ${one.to}`}>
            ${t('look-back.rework', {
              product: back.products?.[one.product] ?? one.product,
              from: name(one.from),
              to: name(one.to),
              n: one.times,
              reasons: (one.reasons ?? []).join('; '),
            })}
          </li>`,
      )}
    </ul>
  </section>`;
}
