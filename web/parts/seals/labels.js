// What is written on the jars of a load, to copy or to print: product, pack date, lot, load, the
// process. Jars that must not stand on a shelf say so. <${Labels} app=${app} />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { heightWords } from '../../core/figures.js';
import { timeOfDay } from '../../core/format.js';
import { loadsWithLabels } from '../../core/seals.js';
import { minutesWords } from '../process-facts.js';
import { Mark } from '../pictures.js';

/** "6 on the shelf · 1 to the refrigerator" of what was found so far. */
function foundWords({ found, unchecked, jars }, short) {
  if (short) return t('labels.in-load', { n: jars });
  const some = Object.entries(found)
    .filter(([, n]) => n > 0)
    .map(([outcome, n]) => t(`labels.${outcome}`, { n }));
  const rest = unchecked > 0 ? [t('labels.unchecked', { n: unchecked })] : [];
  return [...some, ...rest].join(' · ');
}

function Load({ app, one: { load, number, labels } }) {
  const { tested } = load.process ?? {};
  const canner = app.view.stations?.[load.station]?.canners?.[load.canner]?.name;
  const { date } = app.view.day;
  return html`<li class="label-load">
    <h3>
      ${t('labels.load', { number })} ${canner && html`<small class="soft">${canner}</small>`}
    </h3>
    ${
      load.short &&
      html`<p class="caution caution-danger">
        <${Mark} of="danger" />${t(`labels.short.${load.fate ?? 'none'}`)}
      </p>`
    }
    <ul class="label-lines">
      ${labels.map(
        (label) =>
          html`<li key=${`${label.product}/${label.lot}`}>
            <b>${t('labels.line', { product: label.product, date, lot: label.lot, number })}</b>
            <span>${foundWords(label, load.short)}</span>
          </li>`,
      )}
    </ul>
    ${
      tested &&
      html`<p class="soft">
        ${[
          minutesWords(tested),
          load.boil_at && t('labels.from', { at: timeOfDay(load.boil_at) }),
          tested.altitude_ft !== undefined &&
            t('load.altitude', { height: heightWords(tested.altitude_ft) }),
        ]
          .filter(Boolean)
          .join(' · ')}
      </p>`
    }
  </li>`;
}

/** Every lifted load of the day, the latest first. */
export function Labels({ app }) {
  const list = loadsWithLabels(app.view);
  if (!list.length) return null;
  return html`<section class="labels" aria-label=${t('labels.title')}>
    <div class="labels-head">
      <h2>
        <a href=${`#/day/${app.day}/labels`}>${t('labels.title')}</a>
      </h2>
      <button class="button no-print" onClick=${() => globalThis.print()}>
        ${t('labels.print')}
      </button>
    </div>
    <p class="soft no-print">${t('labels.about')}</p>
    <ul class="label-loads">
      ${list.map((one) => html`<${Load} key=${one.id} app=${app} one=${one} />`)}
    </ul>
  </section>`;
}
