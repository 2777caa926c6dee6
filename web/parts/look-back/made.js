// What was put by, product by product, with what became of the rest. <${Made} made=${back.made} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { entriesOf } from '../../core/flow.js';

const SIDEWAYS = [
  'cooling',
  'standing',
  'refrigerated',
  'frozen',
  'fresh',
  'diverted',
  'broken',
  'scrapped',
  'short',
];

function Rest({ one }) {
  const some = SIDEWAYS.filter((what) => one[what] > 0);
  return some.map(
    (what) =>
      html`<small class=${what === 'short' ? 'made-short' : 'soft'} key=${what}
        >${t(`made.${what}`, { n: one[what] })}</small
      >`,
  );
}

function ofWanted(one, n) {
  const counted = (count) => t(`package.${one.package}`, { n: count });
  if (!one.wanted) return counted(n);
  return t('made.of', { wanted: one.wanted, package: counted(one.wanted) });
}

/** One card for each product that made packages. */
export function Made({ made }) {
  const list = entriesOf(made).filter(
    ([, one]) => one.package && (one.made > 0 || one.finished > 0 || one.wanted > 0),
  );
  if (!list.length) return html`<p class="soft">${t('look-back.nothing')}</p>`;
  return html`<ul class="made">
    ${list.map(([id, one]) => {
      const n = (one.finished ?? 0) + (one.cooling ?? 0);
      return html`<li key=${id}>
        <b>${n}</b
        ><span
          ><strong>${one.name}</strong>
          <small class="soft"
            >${ofWanted(one, n)}</small
          >
          <${Rest} one=${one}
        /></span>
      </li>`;
    })}
  </ul>`;
}
