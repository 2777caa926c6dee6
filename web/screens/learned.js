// What closed days taught: each thing with its evidence; the lead corrects it or has it forgotten.

import { html, useEffect, useRef, useState } from '../ui.js';
import { t } from '../words/words.js';
import { listed } from '../core/format.js';
import { manner } from '../core/manner.js';
import {
  forgetting,
  GROUPS,
  lessonId,
  lessonTitle,
  lessonWords,
  setting,
  shown,
} from '../core/learned.js';
import { Awaited } from '../parts/awaited.js';
import { TextField } from '../parts/fields.js';
import { PageFrame } from '../parts/page-frame.js';
import { Problem } from '../parts/problem.js';
import { Sheet } from '../parts/sheet.js';

const rounded = (n) => String(Math.round(n * 10) / 10);
const dateOf = (ms) => new Date(ms).toLocaleDateString(manner().locale);

/** Sends a correction; the same one again goes under the same id, and is never a second one. */
function useSending(app, onList) {
  const sent = useRef({});
  const [state, setState] = useState({});
  async function send(correction) {
    const text = JSON.stringify(correction);
    if (sent.current.text !== text) sent.current = { text, id: app.uuid() };
    setState({ sending: true });
    const answer = await app.post('/api/learned', { id: sent.current.id, correction });
    if (answer.status === 200) onList(answer.body);
    else setState({ problem: answer.body ?? { detail: t('days.unreachable') } });
  }
  return [state, send];
}

function Correct({ app, line, title, onList, onClose }) {
  const [value, setValue] = useState(rounded(shown(line, line.value)));
  const [counts, setCounts] = useState('5');
  const [missing, setMissing] = useState(false);
  const [state, send] = useSending(app, onList);
  function submit(event) {
    event.preventDefault();
    const correction = setting(line, value, counts);
    setMissing(!correction);
    if (correction) send(correction);
  }
  const { usual } = lessonWords(line);
  const unit = shown(line, 1) === 1 ? 'minutes' : 'share';
  return html`<${Sheet} app=${app} title=${title} sub=${usual} calm=${true} onClose=${onClose}>
    <form class="order-form" onSubmit=${submit} novalidate>
      <${TextField}
        label=${t(`learned.field-${unit}`)}
        value=${value}
        onValue=${setValue}
        inputmode="decimal"
      />
      <${TextField}
        label=${t('learned.field-counts')}
        hint=${t('learned.field-counts-hint')}
        value=${counts}
        onValue=${setCounts}
        inputmode="decimal"
      />
      ${missing && html`<p class="problem" role="alert">${t('learned.number')}</p>`}
      ${state.problem && html`<${Problem} app=${app} problem=${state.problem} />`}
      <div class="row">
        <button class="button button-act" disabled=${state.sending}>
          ${state.sending ? t('pending.sending') : t('learned.save')}
        </button>
      </div>
    </form>
  <//>`;
}

function Forget({ app, line, title, onList, onClose }) {
  const [state, send] = useSending(app, onList);
  return html`<${Sheet} app=${app} title=${title} calm=${true} onClose=${onClose}>
    <p>${t('learned.forget-sure')}</p>
    ${state.problem && html`<${Problem} app=${app} problem=${state.problem} />`}
    <div class="row">
      <button
        class="button button-danger"
        disabled=${state.sending}
        onClick=${() => send(forgetting(line))}
      >
        ${state.sending ? t('pending.sending') : t('learned.forget-do')}
      </button>
    </div>
  <//>`;
}

function Line({ app, list, line, onOpen }) {
  const title = lessonTitle(list, line);
  const { figure, usual, counts } = lessonWords(line);
  return html`<li class="lesson">
    <div class="lesson-words">
      <p class=${figure ? '' : 'lesson-note'}>${title}</p>
      ${figure && html`<p><b>${figure}</b></p>`}
      <p class="soft">
        ${[usual, counts, line.set_at && t('learned.set-at', { date: dateOf(line.set_at) })]
          .filter(Boolean)
          .join(' ')}
      </p>
    </div>
    ${
      app.lead &&
      html`<div class="row">
        ${
          figure &&
          html`<button
            class="button"
            aria-label=${t('learned.correct-label', { what: title })}
            onClick=${() => onOpen({ line, of: 'correct' })}
          >
            ${t('learned.correct')}
          </button>`
        }
        <button
          class="button"
          aria-label=${t('learned.forget-label', { what: title })}
          onClick=${() => onOpen({ line, of: 'forget' })}
        >
          ${t('learned.forget')}
        </button>
      </div>`
    }
  </li>`;
}

const ABOUT = ['people', 'notes'];

function Content({ app, list, setList }) {
  const [open, setOpen] = useState(null);
  const [saved, setSaved] = useState(false);
  const close = () => setOpen(null);
  const take = (next) => {
    setList(next);
    setSaved(true);
    close();
  };
  const groups = GROUPS.map(([group, kinds]) => [
    group,
    list.lessons.filter(({ of }) => kinds.includes(of)),
  ]).filter(([, lines]) => lines.length);
  const days = list.days.map(({ date, name }) => `${date} ${name}`);
  const form = open && {
    app,
    line: open.line,
    title: lessonTitle(list, open.line),
    onList: take,
    onClose: close,
  };
  return html`<p>${t('learned.about')}</p>
    ${
      days.length > 0 &&
      html`<p class="soft">${t('learned.days', { n: days.length, list: listed(days) })}</p>`
    }
    ${!app.lead && html`<p class="soft">${t('learned.lead-only')}</p>`}
    ${saved && html`<p class="done-word" role="status">${t('learned.saved')}</p>`}
    ${!groups.length && html`<p>${t('learned.none')}</p>`}
    ${groups.map(
      ([group, lines]) =>
        html`<section key=${group}>
          <h2>${t(`learned.${group}`)}</h2>
          ${ABOUT.includes(group) && html`<p class="soft">${t(`learned.${group}-about`)}</p>`}
          <ul class="lessons">
            ${lines.map(
              (line) =>
                html`<${Line}
                  key=${lessonId(line)}
                  app=${app}
                  list=${list}
                  line=${line}
                  onOpen=${setOpen}
                />`,
            )}
          </ul>
        </section>`,
    )}
    ${open?.of === 'correct' && html`<${Correct} ...${form} />`}
    ${open?.of === 'forget' && html`<${Forget} ...${form} />`}`;
}

/** The screen at `#/learned`. */
export function LearnedScreen({ app }) {
  const [answer, setAnswer] = useState(null);
  useEffect(() => {
    app.get('/api/learned').then(setAnswer);
  }, [app.lead]);
  const setList = (body) => setAnswer({ status: 200, body });
  return html`<${PageFrame}
    app=${app}
    kind="narrow learned"
    title=${t('learned.title')}
  >
    ${
      answer?.status === 200
        ? html`<${Content} app=${app} list=${answer.body} setList=${setList} />`
        : html`<${Awaited} app=${app} answer=${answer} />`
    }<//
  >`;
}
