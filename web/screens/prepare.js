// What to make of what there is. The draft stays on this device; the server works the rest out anew
// with every change.

import { html, useEffect, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { civilDate, listed } from '../core/format.js';
import { askOf, freeId, keptDraft, missing, newDraft, put } from '../core/prepare.js';
import * as memory from '../memory.js';
import { PageFrame } from '../parts/page-frame.js';
import { Mark } from '../parts/pictures.js';
import { Problem } from '../parts/problem.js';
import { AheadOfDay } from '../parts/prepare/ahead.js';
import { KitchenThere, Packages, PeopleThere } from '../parts/prepare/house.js';
import { Lines } from '../parts/prepare/lines.js';
import { SeasonPart } from '../parts/prepare/season.js';
import { Takes } from '../parts/prepare/takes.js';
import { ThereIs } from '../parts/prepare/there-is.js';
import { Uses } from '../parts/prepare/uses.js';

const KEPT = 'prepare';
/** A change is worked out when the hand has rested so long. */
const REST_MS = 700;

const named = (kind, n) => (kind === 'day' ? t('prepare.day-name') : t(`prepare.${kind}`, { n }));

function useDraft(app) {
  const today = civilDate(app.wallClock());
  const [draft, setDraft] = useState(() => keptDraft(memory.choice(KEPT), today));
  const keep = (change) =>
    setDraft((before) => {
      const next = typeof change === 'function' ? change(before) : change;
      memory.keepChoice(KEPT, JSON.stringify(next));
      return next;
    });
  return [draft, keep, () => keep(newDraft(today))];
}

/** The server's answer to the draft: the last one that belongs to it, and whether one is awaited. */
function useProposal(app, draft) {
  const [state, setState] = useState({ is: 'none' });
  const asked = useRef(0);
  useEffect(() => {
    asked.current += 1;
    const mine = asked.current;
    if (missing(draft).length) {
      setState((before) => ({ ...before, waits: false }));
      return undefined;
    }
    setState((before) => ({ ...before, waits: true }));
    const soon = setTimeout(async () => {
      const ask = askOf(draft, named);
      const answer = await app.post('/api/prepare', ask);
      if (mine !== asked.current) return;
      if (answer.status === 200) setState({ is: 'told', proposal: answer.body, ask });
      else
        setState({ is: 'refused', problem: answer.body ?? { detail: t('days.unreachable') } });
    }, REST_MS);
    return () => clearTimeout(soon);
  }, [JSON.stringify(draft)]);
  return state;
}

function Begin({ app, plan }) {
  const [state, setState] = useState({ is: 'open' });
  const request = useRef(app.uuid());
  if (!app.lead) return html`<p class="note-line">${t('prepare.lead-begins')}</p>`;
  async function begin() {
    setState({ is: 'sending' });
    const answer = await app.post('/api/days', { id: request.current, plan });
    if (answer.status === 201 || answer.status === 200) {
      app.go(`#/day/${answer.body.day}/lead`);
      return;
    }
    // An answer settles the request; without one the same request is sent again, not a second.
    if (answer.status !== 0) request.current = app.uuid();
    setState({ is: 'refused', problem: answer.body ?? { detail: t('days.unreachable') } });
  }
  return html`${state.is === 'refused' && html`<${Problem} app=${app} problem=${state.problem} />`}
    <button
      type="button"
      class="button button-act button-wide"
      disabled=${state.is === 'sending'}
      onClick=${begin}
    >
      ${t(state.is === 'sending' ? 'pending.sending' : 'prepare.begin')}
    </button>`;
}

/** What the server would have mended: where, in this language; how, in its own words. */
function Faults({ faults }) {
  const parts = [...new Set(faults.map(({ field }) => field.split('.')[0]))];
  const where = listed(parts.map((part) => t(`prepare.fault.${part}`)));
  return html`<div class="problem" role="alert">
    <${Mark} of="warn" />
    <div class="problem-words">
      <p><strong>${t('prepare.fault', { where })}</strong></p>
      <ul class="prepare-plain" lang="en">
        ${faults.map(
          (one) =>
            html`<li key=${one.field}><code>${one.field}</code> ${one.detail} ${one.instead}</li>`,
        )}
      </ul>
    </div>
  </div>`;
}

function Answer({ app, draft, state, onPut }) {
  const gaps = missing(draft);
  if (gaps.length) {
    const [part, , field] = gaps[0];
    return html`<p class="note-line" role="status">
      ${t(field ? `prepare.gap.${part}` : `prepare.none.${part}`)}
    </p>`;
  }
  if (state.problem?.faults) return html`<${Faults} faults=${state.problem.faults} />`;
  if (state.is === 'refused') return html`<${Problem} app=${app} problem=${state.problem} />`;
  if (state.is !== 'told') return html`<p class="soft" role="status">${t('prepare.working')}</p>`;
  const { proposal, ask } = state;
  return html`<div class=${state.waits ? 'prepare-answer prepare-waits' : 'prepare-answer'}>
    <section class="prepare-card">
      <h2>${t('prepare.to-make')}</h2>
      <${Lines} proposal=${proposal} ask=${ask} onPut=${onPut} />
    </section>
    <section class="prepare-card">
      <h2>${t('prepare.takes')}</h2>
      <${Takes} proposal=${proposal} ask=${ask} />
    </section>
    <section class="prepare-card">
      <h2>${t('prepare.ahead')}</h2>
      <${AheadOfDay} proposal=${proposal} ask=${ask} start=${ask.start_at} />
    </section>
    <p class="caution"><${Mark} of="warn" />${t('prepare.caution')}</p>
    ${proposal.plan && html`<${Begin} app=${app} plan=${proposal.plan} />`}
  </div>`;
}

/** The screen at `#/prepare`. */
export function PrepareScreen({ app }) {
  const [draft, setDraft, clear] = useDraft(app);
  const state = useProposal(app, draft);
  useEffect(() => {
    app.loadFoods();
  }, []);
  const onPut = (path, value) =>
    setDraft((before) => ({ ...before, ask: put(before.ask, path, value) }));
  const onUse = (use) =>
    setDraft((before) => ({
      ...before,
      ask: put(before.ask, ['uses', freeId(before.ask.uses, 'use')], use),
    }));
  const told = useRef(null);
  const jump = () => {
    told.current.scrollIntoView();
    told.current.focus({ preventScroll: true });
  };
  const { ask } = draft;
  return html`<${PageFrame}
    app=${app}
    kind="prepare"
    title=${t('prepare.title')}
    sub=${t('prepare.sub')}
    main="main prepare-main"
  >
    <button type="button" class="button button-act prepare-jump" onClick=${jump}>
      ${t('prepare.jump')}
    </button>
    <form class="prepare-form" onSubmit=${(event) => event.preventDefault()} novalidate>
      <${ThereIs} foods=${app.foods} map=${ask.there_is} onPut=${onPut} />
      <${Uses} foods=${app.foods} map=${ask.uses} packages=${ask.packages} onPut=${onPut} />
      <${Packages} ask=${ask} onPut=${onPut} />
      <${KitchenThere} ask=${ask} onPut=${onPut} />
      <${PeopleThere} draft=${draft} onPut=${onPut} onDraft=${setDraft} />
      <${SeasonPart} app=${app} onUse=${onUse} />
      <button type="button" class="button button-quiet" onClick=${clear}>
        ${t('prepare.clear')}
      </button>
    </form>
    <div class="prepare-told" tabindex="-1" ref=${told}>
      <${Answer} app=${app} draft=${draft} state=${state} onPut=${onPut} />
    </div><//
  >`;
}
