// The seal check of one load: for each product and lot how many jars sealed, and what becomes of
// the others. Jars not yet looked at stay on the list. <${SealForm} app=${app} check=${check} />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { whenWords } from '../../core/format.js';
import { uncheckedOf, whyNotAgain } from '../../core/seals.js';
import { OrderForm } from '../order-form.js';
import { Stepper } from '../stepper.js';

const KINDS = ['sealed', 'refrigerated', 'frozen', 'reprocessed', 'broken'];
const sumOf = (counts) => Object.values(counts).reduce((sum, n) => sum + n, 0);

function subOf(app, kind, product, check) {
  if (kind !== 'reprocessed') return t(`seals.${kind}-how`);
  const why = whyNotAgain(app.view, product, check);
  if (why) return t(`seals.reprocessed-${why}`);
  return t('seals.reprocessed-how', { at: whenWords(check.by, app.now) });
}

function Jars({ app, check, part, counts, onCounts }) {
  const { view } = app;
  const left = part.jars - sumOf(counts);
  const name = view.products[part.product]?.name ?? part.product;
  const lot = view.lots?.[part.lot]?.name ?? part.lot;
  const shut = (kind) => kind === 'reprocessed' && whyNotAgain(view, part.product, check) !== null;
  const put = (kind) => (n) => onCounts({ ...counts, [kind]: n });
  return html`<fieldset class="seal-jars">
    <legend>
      <b>${name}</b> · ${t('seals.lot', { lot })} · ${t('seals.jars', { n: part.jars })}
    </legend>
    <p class=${left > 0 ? 'seal-left' : 'seal-left seal-all'} role="status">
      ${t(left > 0 ? 'seals.left' : 'seals.all-seen', { n: left })}
    </p>
    ${
      left > 0 &&
      html`<button
        type="button"
        class="button"
        onClick=${() => put('sealed')((counts.sealed ?? 0) + left)}
      >
        ${t(sumOf(counts) > 0 ? 'seals.rest-sealed' : 'seals.all-sealed', { n: left })}
      </button>`
    }
    ${KINDS.map(
      (kind) =>
        html`<${Stepper}
          key=${kind}
          label=${t(`seals.${kind}`)}
          sub=${subOf(app, kind, part.product, check)}
          value=${counts[kind] ?? 0}
          most=${shut(kind) ? 0 : (counts[kind] ?? 0) + left}
          onValue=${put(kind)}
        />`,
    )}
  </fieldset>`;
}

/** The form; it begins anew with what is left after each check. */
export function SealForm({ app, check }) {
  const parts = uncheckedOf(check.load);
  const [seen, setSeen] = useState({});
  const keyOf = ({ product, lot }) => `${product}/${lot}`;
  const build = () => {
    const jars = parts
      .map((part) => ({ part, counts: seen[keyOf(part)] ?? {} }))
      .filter(({ counts }) => sumOf(counts) > 0)
      .map(({ part, counts }) => ({
        product: part.product,
        lot: part.lot,
        ...Object.fromEntries(Object.entries(counts).filter(([, n]) => n > 0)),
      }));
    if (!jars.length) return t('seals.say');
    const helper = app.view.helpers?.[app.helperId] && { helper: app.helperId };
    return { order: 'check-seals', load: check.id, ...helper, jars };
  };
  return html`<${OrderForm} app=${app} button=${t('seals.do')} build=${build}>
    ${parts.map(
      (part) =>
        html`<${Jars}
          key=${keyOf(part)}
          app=${app}
          check=${check}
          part=${part}
          counts=${seen[keyOf(part)] ?? {}}
          onCounts=${(counts) => setSeen({ ...seen, [keyOf(part)]: counts })}
        />`,
    )}<//
  >`;
}
