// What was struck on paper, typed back in: counts for each station, a look at what they change, then
// one order after the other until all are kept or one is refused. Nothing typed is lost: it stays on
// this device until the lead clears it.

import { html, useState } from '../ui.js';
import { given, t } from '../words/words.js';
import { entriesOf, productsFor } from '../core/flow.js';
import { decimal, listed, measured } from '../core/format.js';
import { ordersOf, lotsFor, stillThere, sumsOf, typedStations, withIds } from '../core/typed.js';
import { verdictOf } from '../core/protocol.js';
import { Frame } from '../parts/frame.js';
import { DayLinks } from '../parts/day-links.js';
import { ChoiceField, TextField } from '../parts/fields.js';
import { Mark, WorkPicture } from '../parts/pictures.js';
import { Problem } from '../parts/problem.js';

const EMPTY = { boxes: {}, counts: {}, notes: {}, steps: null };

function readDraft(app) {
  try {
    return { ...EMPTY, ...JSON.parse(app.choice(`typed.${app.day}`)) };
  } catch {
    return EMPTY;
  }
}

const productName = (app, id) => app.view.products[id]?.name ?? id;
const stationName = (app, id) => app.view.stations[id]?.name ?? id;
const measureAt = (app, product, station) =>
  app.view.products[product]?.route?.find((step) => step.station === station)?.measure ?? 'piece';

/** One line of a sheet: how many, by whom, from when to when, of which lot. */
function Line({ app, row, line, label, onLine }) {
  const set = (member) => (value) => onLine({ ...line, [member]: value || undefined });
  const lots = lotsFor(app.view, row.product);
  const people = entriesOf(app.view.helpers).map(([id, one]) => [id, one.name]);
  const lotNames = lots.map((id) => [id, app.view.lots[id].name]);
  return html`<div class="typed-line" role="group" aria-label=${label}>
    <${TextField}
      label=${t('typed.count', { carrier: given(row.step.carrier.name) })}
      value=${line.count}
      inputmode="decimal"
      onValue=${set('count')}
    />
    <${ChoiceField}
      label=${t('typed.who')}
      value=${line.helper}
      options=${people}
      empty=${t('typed.nobody')}
      onValue=${set('helper')}
    />
    <${TextField} label=${t('typed.from')} type="time" value=${line.from} onValue=${set('from')} />
    <${TextField} label=${t('typed.to')} type="time" value=${line.to} onValue=${set('to')} />
    ${
      lots.length > 1 &&
      html`<${ChoiceField}
        label=${t('typed.lot')}
        value=${line.lot}
        options=${lotNames}
        empty=${t('typed.any-lot')}
        onValue=${set('lot')}
      />`
    }
  </div>`;
}

function Row({ app, row, lines, onLines }) {
  const name = row.to
    ? t('typed.to-branch', { product: productName(app, row.product), to: productName(app, row.to.product) })
    : productName(app, row.product);
  const shown = lines.length ? lines : [{}];
  const change = (n) => (line) => onLines(shown.map((one, at) => (at === n ? line : one)));
  return html`<div class="typed-row">
    <h3>${name} <small class="soft">${t('typed.carrier', {
      carrier: given(row.step.carrier.name),
      amount: measured(row.step.carrier.holds, row.step.measure),
    })}</small></h3>
    ${shown.map(
      (line, n) =>
        html`<${Line}
          key=${n}
          app=${app}
          row=${row}
          line=${line}
          label=${`${name}, ${n + 1}`}
          onLine=${change(n)}
        />`,
    )}
    <button class="button button-quiet" onClick=${() => onLines([...shown, {}])}>
      ${t('typed.more')}
    </button>
  </div>`;
}

function StationForm({ app, at: { id, kind, rows }, draft, change }) {
  const station = app.view.stations[id];
  const lines = (row) => draft.counts[id]?.[row.key] ?? [];
  const setLines = (row) => (list) =>
    change({ counts: { ...draft.counts, [id]: { ...draft.counts[id], [row.key]: list } } });
  return html`<section class="card typed-station" aria-label=${station.name}>
    <h2><${WorkPicture} work=${station.work} size="32" />${station.name}</h2>
    ${
      kind === 'loads'
        ? html`<p class="caution caution-danger"><${Mark} of="danger" />${t('typed.loads')}</p>
            <${TextField}
              label=${t('typed.sheet-says')}
              hint=${t('typed.sheet-hint')}
              value=${draft.notes[id]}
              maxlength="280"
              onValue=${(text) => change({ notes: { ...draft.notes, [id]: text } })}
            />`
        : rows.map(
            (row) =>
              html`<${Row} key=${row.key} app=${app} row=${row} lines=${lines(row)} onLines=${setLines(row)} />`,
          )
    }
    ${kind === 'pots' && html`<p class="hint">${t('typed.pots')}</p>`}
  </section>`;
}

function BoxForm({ app, draft, change }) {
  const pairs = entriesOf(app.view.lots).flatMap(([lot, plan]) =>
    productsFor(app.view, plan)
      .filter((product) => app.view.products[product].route[0].measure === plan.measure)
      .map((product) => ({ lot, plan, product })),
  );
  if (!pairs.length) return null;
  return html`<section class="card typed-station" aria-label=${t('typed.boxes')}>
    <h2>${t('typed.boxes')}</h2>
    <div class="pair">
      ${pairs.map(({ lot, plan, product }) => {
        const key = `${lot}/${product}`;
        return html`<${TextField}
          key=${key}
          label=${t('typed.box-of', { lot: plan.name, product: productName(app, product) })}
          hint=${t('typed.box-left', {
            amount: measured(plan.unopened, plan.measure),
            box: measured(plan.box_holds, plan.measure),
          })}
          inputmode="decimal"
          value=${draft.boxes[key]}
          onValue=${(text) => change({ boxes: { ...draft.boxes, [key]: text } })}
        />`;
      })}
    </div>
  </section>`;
}

/** A step in words: what is ordered, and what it does to the counts. */
function stepWords(app, step) {
  const params = {
    station: stationName(app, step.station),
    product: productName(app, step.product),
    lot: app.view.lots[step.lot]?.name ?? '',
    count: decimal(step.count ?? 0),
    text: step.text ?? '',
    amount: '',
  };
  const amount = step.amount ?? step.command.amount;
  if (step.says === 'box')
    params.amount = measured(amount, app.view.lots[step.lot]?.measure ?? 'piece');
  else if (amount !== undefined)
    params.amount = measured(amount, measureAt(app, step.product, step.station));
  return t(`typed.step.${step.says}`, params);
}

function faultWords(app, fault) {
  const station = stationName(app, fault.station);
  const product = productName(app, fault.product);
  const words = (n) =>
    n === undefined ? '' : measured(n, fault.measure ?? measureAt(app, fault.product, fault.station));
  return t(`typed.fault.${fault.is}`, {
    station: fault.station ? station : (app.view.lots[fault.lot]?.name ?? ''),
    product,
    amount: words(fault.amount),
    there: words(fault.there),
  });
}

/** Faults that are only said: the board puts them right by an open recount. */
const MENDED = ['more'];

/** What will change, before it is sent; and how far it is. */
function Look({ app, draft, change }) {
  const [state, setState] = useState({ is: 'open' });
  const { steps, faults } = ordersOf(app.view, draft);
  const list = draft.steps ?? [];
  const left = list.filter((step) => !step.done);
  const begun = list.some((step) => step.done);
  const stops = faults.filter((fault) => !MENDED.includes(fault.is));
  const sums = sumsOf(app.view, draft);
  const look = () => {
    setState({ is: 'open' });
    change({ steps: withIds(steps, draft.steps, app.uuid), faults });
  };

  /** One after the other; the first that is not taken ends it, and nothing after it is sent. */
  async function send() {
    setState({ is: 'sending' });
    let now = list;
    for (const step of list) {
      if (step.done) continue;
      const answer = await app.post(`/api/days/${app.day}/commands`, {
        id: step.id,
        command: step.command,
      });
      if (answer.status !== 200) {
        const away = answer.status === 0 || verdictOf(answer.status) === 'again';
        setState({ is: away ? 'away' : 'refused', step, problem: answer.body });
        // What was refused stays so under its id; the next try is another.
        const anew = (one) => (one.id === step.id ? { ...one, id: app.uuid() } : one);
        if (!away) change({ steps: now.map(anew) });
        return;
      }
      now = now.map((one) => (one.id === step.id ? { ...one, done: true } : one));
      change({ steps: now });
    }
    setState({ is: 'done' });
  }

  const clear = () => {
    setState({ is: 'open' });
    change(EMPTY);
  };
  const offer = async (command) => {
    await app.send(command, { quiet: true });
    send();
  };

  if (!list.length)
    return html`<section class="card" aria-label=${t('typed.look')}>
      ${stops.map((fault, n) => html`<p class="problem" key=${n}>${faultWords(app, fault)}</p>`)}
      ${
        sums.length > 0 &&
        html`<details class="fold">
          <summary>${t('typed.sums')}</summary>
          <ul class="fold-inside">
            ${sums.map(
              ({ station, product, key, count }) =>
                html`<li key=${`${station}/${key}`}>${t('typed.sum', {
                  station: stationName(app, station),
                  product: productName(app, product),
                  count: decimal(count),
                })}</li>`,
            )}
          </ul>
        </details>`
      }
      <button
        class="button button-act button-wide"
        disabled=${steps.length === 0 || stops.length > 0}
        onClick=${look}
      >
        ${t('typed.look')}
      </button>
      ${steps.length === 0 && html`<p class="soft">${t('typed.nothing')}</p>`}
    </section>`;

  const gone = left.filter((step) => !stillThere(app.view, step));
  return html`<section class="card" aria-label=${t('typed.changes')}>
    <h2>${t('typed.changes')}</h2>
    ${(draft.faults ?? []).map(
      (fault, n) => html`<p class="note-line" key=${n}><${Mark} of="warn" />${faultWords(app, fault)}</p>`,
    )}
    <ol class="typed-steps">
      ${list.map(
        (step) =>
          html`<li key=${step.id} class=${step.done ? 'typed-done' : ''}>
            <${Mark} of=${step.done ? 'done' : 'note'} size="18" /><span
              >${stepWords(app, step)}${step.done && html` <b>${t('typed.kept')}</b>`}</span
            >
          </li>`,
      )}
    </ol>
    ${gone.length > 0 && html`<p class="problem">${t('typed.gone', { names: listed(gone.map((step) => stepWords(app, step))) })}</p>`}
    ${
      state.is === 'refused' &&
      html`<p>${t('typed.refused', { step: stepWords(app, state.step), left: left.length })}</p>
        <${Problem} app=${app} problem=${state.problem ?? {}} onOffer=${offer} />`
    }
    ${state.is === 'away' && html`<p class="problem" role="alert">${t('typed.away', { left: left.length })}</p>`}
    ${
      left.length === 0 &&
      html`<p class="done-word" role="status">${t('typed.all-kept', { n: list.length })}</p>`
    }
    <div class="row">
      ${
        left.length > 0 &&
        html`<button
            class="button button-act"
            disabled=${state.is === 'sending' || app.closed}
            onClick=${send}
          >
            ${state.is === 'sending' ? t('pending.sending') : t('typed.send', { n: left.length })}
          </button>
          ${
            !begun &&
            html`<button class="button" onClick=${() => change({ steps: null, faults: null })}>
              ${t('typed.back')}
            </button>`
          }`
      }
      ${(left.length === 0 || begun) && html`<button class="button" onClick=${clear}>${t(left.length ? 'typed.clear-rest' : 'typed.clear')}</button>`}
    </div>
  </section>`;
}

/** The screen at `#/day/ID/typed`. */
export function TypedScreen({ app }) {
  const [draft, setDraft] = useState(() => readDraft(app));
  const change = (part) =>
    setDraft((before) => {
      const next = { ...before, ...part };
      app.choose(`typed.${app.day}`, JSON.stringify(next));
      return next;
    });
  const looking = Boolean(draft.steps?.length);
  return html`<${Frame}
    app=${app}
    title=${t('typed.title')}
    sub=${`${app.view.day.name} · ${app.view.day.date}`}
    kind="typed before"
    tools=${html`<${DayLinks} app=${app} />`}
  >
    <p class="typed-about">${t('typed.about')}</p>
    ${!app.lead && html`<p class="problem">${t('typed.lead-only')}</p>`}
    ${
      !looking &&
      html`<${BoxForm} app=${app} draft=${draft} change=${change} />
        ${typedStations(app.view).map(
          (at) =>
            html`<${StationForm} key=${at.id} app=${app} at=${at} draft=${draft} change=${change} />`,
        )}`
    }
    ${app.lead && html`<${Look} app=${app} draft=${draft} change=${change} />`}<//
  >`;
}
