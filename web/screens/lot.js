// The page of a lot, opened from the code on a label: what it is, where it is, one to take out, and
// everything it went through.

import { html, useState } from '../ui.js';
import { given, t } from '../words/words.js';
import { heightWords } from '../core/figures.js';
import { whenWords } from '../core/format.js';
import { countOf, oneOf, PLACES, VERDICTS } from '../core/package-lots.js';
import { PageFrame } from '../parts/page-frame.js';
import { TextField } from '../parts/fields.js';
import { Mark } from '../parts/pictures.js';
import { Awaited } from '../parts/awaited.js';
import { Problem } from '../parts/problem.js';
import { minutesWords } from '../parts/process-facts.js';
import { Fold } from '../parts/sheet.js';
import { ChangeLot } from '../parts/shelf/change-lot.js';
import { ShelfFault, useShelf } from '../parts/shelf/orders.js';
import { RecallWhat } from '../parts/shelf/recalls.js';
import { Judge, Taken } from '../parts/shelf/taken.js';
import { dateWords, momentDate, packageWords } from '../parts/tags/words.js';
import { useLook } from './shelf.js';

function Facts({ rows }) {
  return html`<dl class="lot-facts">
    ${rows
      .filter(([, value]) => value)
      .map(
        ([name, value]) =>
          html`<div key=${name}><dt>${name}</dt><dd>${value}</dd></div>`,
      )}
  </dl>`;
}

const spanOf = (from, to) =>
  from === to ? whenWords(from, to) : t('origin.span', { from: whenWords(from, to), to: whenWords(to, to) });

function loadRows({ load }) {
  if (!load) return [];
  const words = {
    number: load.number,
    canner: given(load.canner),
    minutes: minutesWords(load),
    height: heightWords(load.altitude_ft),
  };
  const time = load.boil_at &&
    load.heat_off_at && {
      from: whenWords(load.boil_at, load.heat_off_at),
      to: whenWords(load.heat_off_at, load.heat_off_at),
    };
  return [
    [t('origin.load'), t('origin.load-words', words)],
    [t('origin.method'), t(`origin.method.${load.method}`)],
    [t('origin.time'), time && t('origin.time-words', time)],
  ];
}

function Way({ told, lot }) {
  const { load } = lot;
  return html`<section>
    <h2>${t('origin.way')}</h2>
    <${Facts}
      rows=${[
        [t('origin.fruit'), `${given(lot.lot_name)} · ${given(lot.produce)}`],
        [t('origin.made'), `${given(told.name)} · ${dateWords(told.date)}`],
        [t(load ? 'origin.filled' : 'origin.packed'), spanOf(lot.filled_from, lot.filled_to)],
        ...loadRows(lot),
        [t('origin.seals'), lot.checked_by.join(', ')],
      ]}
    />
    ${load?.boils_lost > 0 && html`<p class="note-line">${t('origin.lost', { n: load.boils_lost })}</p>`}
    ${
      load?.short &&
      html`<p class="caution caution-danger"><${Mark} of="danger" />${t('origin.short')}</p>`
    }
    ${
      lot.work.length > 0 &&
      html`<h3>${t('origin.work')}</h3>
        <ul class="lot-work">
          ${lot.work.map(
            (one) =>
              html`<li key=${one.station}>
                <b>${given(one.name)}</b>
                <span>${one.people.map(given).join(', ') || html`<i class="soft">${t('origin.nobody')}</i>`}</span>
                <small class="soft">${spanOf(one.from, one.to)}</small>
              </li>`,
          )}
        </ul>`
    }
    ${
      load &&
      html`<${Fold} title=${t('origin.source')}><p class="soft source">${load.source}</p><//>`
    }
  </section>`;
}

function Where({ lot, shelf, onTake }) {
  const here = PLACES.filter((place) => countOf(lot.left[place]) > 0);
  const rest = ['waiting', 'eaten', 'broken', 'again'].filter((name) => lot[name] > 0);
  return html`<section>
    <h2>${t('origin.where')}</h2>
    ${!here.length && html`<p>${t('origin.none-left')}</p>`}
    <ul class="lot-places">
      ${here.map((place) => {
        const until = lot.places[place]?.keeping?.best_by;
        return html`<li key=${place}>
          <p>
            <b class="lot-count">${t('origin.left', { n: countOf(lot.left[place]), place: t(`tags.place.${place}`) })}</b>
            ${until && !lot.recalled && html`<span class="soft">${t('origin.best-by', { date: dateWords(until) })}</span>`}
            ${place === 'refrigerator' && !lot.recalled && html`<span class="soft">${t('origin.days')}</span>`}
          </p>
          ${
            !lot.recalled &&
            html`<button
              type="button"
              class="button button-act"
              disabled=${shelf.busy}
              onClick=${() => onTake(place, oneOf(lot.left[place]))}
            >
              ${t('shelf.take')}
            </button>`
          }
        </li>`;
      })}
    </ul>
    ${rest.map((name) => html`<p class="soft" key=${name}>${t(`origin.${name}`, { n: countOf(lot[name]) })}</p>`)}
  </section>`;
}

const QUICK = ['siphoned', 'thick', 'scorched'];

function Notes({ app, at, lot, look }) {
  const [text, setText] = useState('');
  const [problem, setProblem] = useState(null);
  const on = lot.load ? { about: 'load', id: lot.load.id } : { about: 'lot', id: lot.lot };
  const write = async (words) => {
    const body = { id: app.uuid(), command: { order: 'note', on, text: words } };
    const answer = await app.post(`/api/days/${at.day}/commands`, body);
    setProblem(answer.status === 200 ? null : (answer.body ?? { detail: t('days.unreachable') }));
    if (answer.status === 200) setText('');
    await look();
  };
  const submit = (event) => {
    event.preventDefault();
    if (text.trim()) write(text.trim());
  };
  return html`<section>
    <h2>${t('origin.notes')}</h2>
    ${!lot.notes.length && html`<p class="soft">${t('origin.no-notes')}</p>`}
    <ul class="notes">
      ${lot.notes.map(
        (note, n) =>
          html`<li key=${n}>${note.text} <small class="soft">${momentDate(note.at)}</small></li>`,
      )}
    </ul>
    ${problem && html`<${Problem} app=${app} problem=${problem} onDismiss=${() => setProblem(null)} />`}
    <p class="soft">${t('origin.quick')}</p>
    <div class="row">
      ${QUICK.map(
        (one) =>
          html`<button type="button" class="button" key=${one} onClick=${() => write(t(`origin.said.${one}`))}>
            ${t(`origin.${one}`)}
          </button>`,
      )}
    </div>
    <form class="order-form" onSubmit=${submit}>
      <${TextField} label=${t('origin.note')} value=${text} onValue=${setText} maxlength="200" />
      <button class="button" disabled=${!text.trim()}>${t('origin.write')}</button>
    </form>
  </section>`;
}

function Content({ app, told, lot, look, shelf }) {
  const [taken, setTaken] = useState(null);
  const at = { day: told.day, code: app.at.code };
  const codes = Object.entries(told.lots)
    .filter(([, other]) => other.batch === lot.batch)
    .map(([code]) => code);
  const take = async (place, packages) => {
    const receipt = await shelf.send({ order: 'take', lot: at, place, packages });
    if (receipt) setTaken({ command: receipt.id, lot: at, name: lot.product_name });
  };
  const judged = VERDICTS.filter((one) => lot.judged[one] > 0);
  return html`${
      lot.recalled &&
      html`<section class="caution caution-danger recall" role="alert">
        <h2><${Mark} of="danger" /> ${t('shelf.recalled')}</h2>
        <p>${lot.recalled.reason}</p>
        <${RecallWhat} />
      </section>`
    }
    <${Taken} shelf=${shelf} taken=${taken} onTaken=${setTaken} />
    <${Where} lot=${lot} shelf=${shelf} onTake=${take} />
    ${
      judged.length > 0 &&
      html`<p>
        ${judged
          .map((one) => t('shelf.judged', { words: t(`shelf.${one}`), n: lot.judged[one] }))
          .join(' · ')}
      </p>`
    }
    ${
      lot.eaten > 0 &&
      !taken &&
      html`<section>
        <h2>${t('shelf.how-was-it')}</h2>
        <${Judge} shelf=${shelf} lot=${at} onJudged=${() => {}} />
      </section>`
    }
    <${Way} told=${told} lot=${lot} />
    <${Notes} app=${app} at=${at} lot=${lot} look=${look} />
    <${ChangeLot} app=${app} shelf=${shelf} lot=${at} told=${lot} codes=${codes} />`;
}

/** The screen at `#/lot/DAY/CODE`. */
export function LotScreen({ app }) {
  const { lotDay, code } = app.at;
  const [answer, setAnswer] = useState(null);
  const look = async () => {
    const found = await app.get(`/api/days/${lotDay}/lots`);
    setAnswer((before) => (found.status === 0 && before?.status === 200 ? before : found));
  };
  useLook(look, [lotDay]);
  const shelf = useShelf(app, look);
  const told = answer?.status === 200 ? answer.body : null;
  const lot = told?.lots[code];
  const links = html`<a class="button button-quiet" href="#/shelf">${t('origin.shelf')}</a>
    <a class="button button-quiet" href=${`#/day/${lotDay}/labels`}>${t('origin.labels')}</a>`;
  return html`<${PageFrame}
    app=${app}
    kind="narrow lot-screen"
    title=${lot ? given(lot.product_name) : t('origin.title', { code })}
    sub=${lot && `${packageWords(lot.package)} · ${t('origin.title', { code })}`}
    links=${links}
  >
    <${ShelfFault} app=${app} shelf=${shelf} />
    ${
      lot
        ? html`<${Content} app=${app} told=${told} lot=${lot} look=${look} shelf=${shelf} />`
        : html`<${Awaited}
            app=${app}
            answer=${answer}
            words="shelf.loading"
            problem=${told && { detail: t('origin.unknown', { code }) }}
          />`
    }<//
  >`;
}
