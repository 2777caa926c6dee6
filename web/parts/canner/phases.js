// What is done in each phase of a load, with its caution: heating, venting, timing, resting. The
// time starts only when somebody has seen the boil, the steam or the pressure.
// <${Phase} app=${app} id=${loadId} load=${load} helper="maren" />

import { html } from '../../ui.js';
import { t } from '../../words/words.js';
import { pressureWords } from '../../core/figures.js';
import { heatOfLoad } from '../../core/process.js';
import { Mark } from '../pictures.js';
import { EndEarly } from './end-early.js';
import { LiftLoad } from './load-lift.js';

function Caution({ of, params }) {
  return html`<p class="caution"><${Mark} of="warn" />${t(of, params)}</p>`;
}

/** One order of this phase. A refusal is said by the screen: by then the phase may be another. */
function Step({ app, order, words, quiet }) {
  const going = app.pending(
    ({ command }) => command.order === order.order && command.load === order.load,
  );
  return html`<button
    class=${quiet ? 'button button-wide' : 'button button-act button-wide'}
    disabled=${going}
    onClick=${() => app.send(order)}
  >
    ${going ? t('pending.sending') : words}
  </button>`;
}

const orderOf = (order, { id, helper }, more) => ({
  order,
  load: id,
  ...(helper && { helper }),
  ...more,
});

function Loading({ app, id, heat, helper }) {
  return html`<${Caution} of=${`caution.before-heat.${heat}`} />
    <${Step} app=${app} order=${orderOf('heat-load', { id, helper })} words=${t('load.heat')} />
    <${Step}
      app=${app}
      quiet=${true}
      order=${{ order: 'cancel-load', load: id }}
      words=${t('load.cancel')}
    />`;
}

function Start({ app, id, load, heat, helper }) {
  const asked = load.process?.tested?.psi;
  const psi = asked === undefined ? '' : pressureWords(asked);
  return html`<${Caution} of=${`caution.start.${heat}`} params=${{ psi }} />
    <${Step}
      app=${app}
      order=${orderOf('rolling-boil', { id, helper })}
      words=${t(`load.start.${heat}`, { psi })}
    />`;
}

function Heating(props) {
  const { app, id, load, heat, helper } = props;
  const vents = heat === 'pressure' && !load.vented_at;
  return html`<p class="soft">${t(`load.heating-usual.${heat}`)}</p>
    ${
      vents
        ? html`<${Caution} of="caution.vent" />
            <${Step} app=${app} order=${orderOf('vent', { id, helper })} words=${t('load.vent')} />`
        : html`<${Start} ...${props} />`
    }
    <${EndEarly} app=${app} id=${id} load=${load} helper=${helper} />`;
}

function Venting(props) {
  const { app, id, load, helper } = props;
  const over = app.now !== null && app.now >= (load.vent_until ?? 0);
  return html`${over ? html`<${Start} ...${props} />` : html`<${Caution} of="caution.venting" />`}
    <${EndEarly} app=${app} id=${id} load=${load} helper=${helper} />`;
}

function Timing({ app, id, load, heat, helper }) {
  const over = app.now !== null && app.now >= load.done_at;
  const lost = html`<${Step}
    app=${app}
    quiet=${true}
    order=${orderOf('boil-lost', { id, helper })}
    words=${t(`load.lost.${heat}`)}
  />`;
  if (!over)
    return html`<${Caution} of=${`caution.keep.${heat}`} />${lost}
      <${EndEarly} app=${app} id=${id} load=${load} helper=${helper} />`;
  return html`<p class="longer"><${Mark} of="done" />${t('load.longer')}</p>
    <${Caution} of=${`caution.heat-off.${heat}`} />
    <${Step}
      app=${app}
      order=${orderOf('heat-off', { id, helper })}
      words=${t(`load.heat-off.${heat}`)}
    />${lost}`;
}

function Resting({ app, id, load, heat, helper }) {
  if (heat === 'pressure' && !load.zero_at)
    return html`<${Caution} of="caution.pressure-falls" />
      <${Step}
        app=${app}
        order=${orderOf('pressure-zero', { id, helper })}
        words=${t('load.pressure-zero')}
      />`;
  const waits = app.now !== null && app.now < (load.rest_until ?? 0);
  return html`${waits && html`<p class="soft">${t(`load.rest.${heat}`)}</p>`}
    <${Caution} of=${`caution.lift.${heat}`} />
    <${LiftLoad} app=${app} id=${id} load=${load} helper=${helper} />`;
}

const PHASES = {
  loading: Loading,
  heating: Heating,
  venting: Venting,
  timing: Timing,
  resting: Resting,
};

/** What the load's phase asks now. */
export function Phase(props) {
  const Part = PHASES[props.load.phase] ?? Resting;
  return html`<${Part} ...${props} heat=${heatOfLoad(props.app.view, props.load)} />`;
}
