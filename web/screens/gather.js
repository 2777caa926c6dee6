// What to gather and look over the day before: ticked or counted on any device, or on paper.

import { html, useEffect, useState } from '../ui.js';
import { given, known, t } from '../words/words.js';
import { heightWords, jarName } from '../core/figures.js';
import { decimal, measured, parsedAmount } from '../core/format.js';
import { choreStart, grouped, isAsked, madeOf, ONE, standing } from '../core/gather.js';
import { Frame } from '../parts/frame.js';
import { Mark } from '../parts/pictures.js';
import { Fold } from '../parts/sheet.js';
import { Problem } from '../parts/problem.js';
import { DayLinks } from '../parts/day-links.js';

const MARKS = { open: 'note', there: 'done', short: 'due' };

/** "44 lids", "7.5 cups", "80 lb". */
function amountWords(amount, unit) {
  if (known(`measure.${unit}`)) return measured(amount, unit);
  if (known(`gather.unit.${unit}`))
    return t(`gather.unit.${unit}`, { amount: decimal(amount), n: amount / ONE });
  return `${decimal(amount)} ${given(unit)}`;
}

/** What an item is called: "Quart jars, looked over". */
function itemWords({ kind, name, jar, detail, unit }) {
  const height = kind === 'altitude' && detail ? heightWords(Number(detail)) : null;
  if (kind === 'altitude' && !height) return t('gather.item.altitude-open');
  return t(`gather.item.${kind}`, {
    name: known(`package.${name}`) ? t(`package.${name}`) : given(name ?? ''),
    jar: jar ? jarName(jar) : '',
    detail: height ?? given(detail ?? ''),
    unit: unit ?? '',
  });
}

function needWords(item) {
  if (!item.counted) return '';
  const amount = amountWords(item.need, item.unit);
  return item.spare
    ? t('gather.need-spare', { amount, spare: decimal(item.spare) })
    : t('gather.need', { amount });
}

function Count({ item, words, give }) {
  const [text, setText] = useState(null);
  const typed = text ?? (item.have === undefined ? '' : decimal(item.have));
  const bad = typed.trim() !== '' && parsedAmount(typed) === null;
  const keep = () => {
    const amount = parsedAmount(typed);
    if (text !== null && amount !== null) give(amount);
    else if (text !== null && typed.trim() === '') give(undefined);
    if (!bad) setText(null);
  };
  return html`<span class="gather-count">
    <input
      type="text"
      inputmode="decimal"
      size="5"
      aria-label=${t('gather.count', { item: words })}
      value=${typed}
      aria-invalid=${bad ? 'true' : 'false'}
      onInput=${(event) => setText(event.target.value)}
      onBlur=${keep}
      onKeyDown=${(event) => event.key === 'Enter' && keep()}
    />
    ${bad && html`<span class="hint">${t('field.amount-bad')}</span>`}
  </span>`;
}

function stateWords(app, item) {
  const who = app.view.helpers?.[item.helper]?.name;
  if (item.state === 'open') return t('gather.state.open');
  if (item.state === 'short' && item.counted)
    return t('gather.state.short', { amount: amountWords(item.missing, item.unit) });
  if (item.state === 'short') return t('gather.state.missing');
  return who ? t('gather.state.there-by', { who }) : t('gather.state.there');
}

function Row({ app, item }) {
  const words = itemWords(item);
  const mine = (entry) => entry.command.order === 'gather' && entry.command.item === item.id;
  const going = app.pending(mine);
  const give = (have) =>
    app.send({
      order: 'gather',
      item: item.id,
      ...(have !== undefined && { have }),
      ...(app.helperId && app.view.helpers?.[app.helperId] && { helper: app.helperId }),
    });
  const there = item.state === 'there';
  return html`<li class=${`gather-item gather-${item.state}`}>
    <span class="gather-box" aria-hidden="true"></span>
    <div class="gather-words">
      <strong>${words}</strong>
      ${item.counted && html`<span>${needWords(item)}</span>`}
      <span class="gather-state no-print" role="status"
        ><${Mark} of=${MARKS[item.state]} size="18" />${
          going ? t('pending.sending') : stateWords(app, item)
        }</span
      >
    </div>
    <span class="gather-line" aria-hidden="true"></span>
    <div class="gather-tools no-print">
      ${item.counted && html`<${Count} item=${item} words=${words} give=${give} />`}
      <button
        class="button choice"
        aria-pressed=${there ? 'true' : 'false'}
        aria-label=${t(item.counted ? 'gather.all-of' : 'gather.done-of', { item: words })}
        disabled=${app.closed}
        onClick=${() => give(there ? undefined : item.need)}
      >
        ${t(item.counted ? 'gather.all' : 'gather.done')}
      </button>
      ${
        !item.counted &&
        item.state !== 'short' &&
        html`<button
          class="button"
          aria-label=${t('gather.missing-of', { item: words })}
          disabled=${app.closed}
          onClick=${() => give(0)}
        >
          ${t('gather.missing')}
        </button>`
      }
    </div>
    ${
      item.rule &&
      html`<div class="gather-why no-print">
        <${Fold} title=${t('gather.why')}>
          <p lang="en">${item.rule.says}</p>
          <p class="soft source" lang="en">${item.rule.source}</p><//
        >
      </div>`
    }
  </li>`;
}

/** What is short, and the lead's way to have it fetched. */
function Short({ app, list }) {
  if (!list.length) return null;
  const open = list.filter((item) => !isAsked(app.view, item));
  const words = (item) =>
    item.counted
      ? t('gather.chore', { amount: amountWords(item.missing, item.unit), item: itemWords(item) })
      : t('gather.chore-one', { item: itemWords(item) });
  const ask = () => {
    for (const item of open)
      app.send({
        order: 'raise-chore',
        chore: app.mint(choreStart(item)),
        text: words(item).slice(0, 280),
      });
  };
  return html`<section class="card gather-short no-print" aria-label=${t('gather.short')}>
    <h2><${Mark} of="due" />${t('gather.short')}</h2>
    <ul>
      ${list.map((item) => html`<li key=${item.id}>${words(item)}</li>`)}
    </ul>
    ${
      open.length === 0
        ? html`<p class="soft">${t('gather.asked')}</p>`
        : app.lead && !app.closed
          ? html`<button class="button button-act" onClick=${ask}>
              ${t('gather.ask', { n: open.length })}
            </button>`
          : html`<p class="soft">${t('gather.ask-lead')}</p>`
    }
  </section>`;
}

/** The screen at `#/day/ID/gather`. */
export function GatherScreen({ app }) {
  const [answer, setAnswer] = useState(null);
  const plan = madeOf(app.view);
  useEffect(() => {
    let gone = false;
    app.get(`/api/days/${app.day}/gather`).then((found) => {
      // What was there before serves while the board cannot be reached.
      if (!gone) setAnswer((before) => (found.status === 0 && before ? before : found));
    });
    return () => {
      gone = true;
    };
  }, [app.day, plan, app.line.up]);
  const items = answer?.status === 200 ? (answer.body.items ?? []) : null;
  const groups = items ? grouped(items, app.view.gathered) : [];
  const { all, there, open, short } = standing(groups);
  return html`<${Frame}
    app=${app}
    title=${t('gather.title')}
    sub=${`${app.view.day.name} · ${app.view.day.date}`}
    kind="gather before"
    tools=${html`<${DayLinks} app=${app} />`}
  >
    <div class="before-head no-print">
      <p>${t('gather.about')}</p>
      <button class="button" onClick=${() => globalThis.print()}>${t('before.print')}</button>
    </div>
    ${answer === null && html`<p class="soft" role="status">${t('days.loading')}</p>`}
    ${
      answer !== null &&
      !items &&
      html`<${Problem} app=${app} problem=${answer.body ?? { detail: t('days.unreachable') }} />`
    }
    ${
      items &&
      html`<p class="gather-sum no-print" role="status">
        ${t('gather.sum', { all, there, open, short: short.length })}
      </p>`
    }
    <${Short} app=${app} list=${short} />
    <div class="gather-groups">
      ${groups.map(
        ({ group, items: list }) =>
          html`<section key=${group} aria-label=${t(`gather.group.${group}`)}>
            <h2>${t(`gather.group.${group}`)}</h2>
            <ul class="gather-list">
              ${list.map((item) => html`<${Row} key=${item.id} app=${app} item=${item} />`)}
            </ul>
          </section>`,
      )}
    </div>
    <p class="soft before-note">${t('gather.spare-about')}</p><//
  >`;
}
