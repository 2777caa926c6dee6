// Ending a load before its time: the lead alone, in two steps, with what the jars may be then.
// <${EndEarly} app=${app} id=${loadId} load=${load} helper="maren" />

import { html, useState } from '../../ui.js';
import { t } from '../../words/words.js';
import { Fold } from '../sheet.js';
import { OrderForm } from '../order-form.js';
import { Mark } from '../pictures.js';

const FATES = ['refrigerate', 'freeze', 'reprocess'];

function minutesDone(app, load) {
  if (!load.boil_at || app.now === null) return 0;
  return Math.max(0, Math.floor((app.now - load.boil_at) / 60000));
}

function Sure({ app, id, load, helper, onBack }) {
  const order = { order: 'heat-off', load: id, end_early: true, ...(helper && { helper }) };
  const params = {
    n: load.jar_count / 1000,
    done: minutesDone(app, load),
    minutes: load.process?.tested?.minutes ?? '',
  };
  return html`<${OrderForm}
    app=${app}
    danger=${true}
    button=${t('load.end-early-yes')}
    build=${() => order}
  >
    <p class="caution caution-danger" role="alert">
      <${Mark} of="danger" />${t('load.end-early-sure', params)}
    </p>
    <button type="button" class="button" onClick=${onBack}>${t('load.end-early-no')}</button><//
  >`;
}

/** Folded away; nothing for anybody but the lead. */
export function EndEarly({ app, id, load, helper }) {
  const [sure, setSure] = useState(false);
  if (!app.lead) return html`<p class="soft">${t('load.end-early-lead')}</p>`;
  return html`<${Fold} title=${t('load.end-early')}>
    ${
      sure
        ? html`<${Sure}
            app=${app}
            id=${id}
            load=${load}
            helper=${helper}
            onBack=${() => setSure(false)}
          />`
        : html`<p>${t('load.end-early-why')}</p>
            <ul class="told">
              ${FATES.map((fate) => html`<li key=${fate}>${t(`fate.${fate}`)}</li>`)}
            </ul>
            <button class="button button-wide" onClick=${() => setSure(true)}>
              ${t('load.end-early-next')}
            </button>`
    }<//
  >`;
}
