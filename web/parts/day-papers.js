// The pages of a day on paper: one for each station, one of the people, one for the lead.
// <${StationPage} app=${app} sheet=${sheet} /> <${PeoplePage} app=${app} /> <${LeadPage} app=${app} />

import { html } from '../ui.js';
import { given, t } from '../words/words.js';
import { entriesOf } from '../core/flow.js';
import { heightWords, inchWords } from '../core/figures.js';
import { listed, measured, timeOfDay } from '../core/format.js';
import { helpersInOrder } from '../core/seats.js';
import { minutesWords, waterWords } from './process-facts.js';
import { StepPicture, WorkPicture } from './pictures.js';

const times = (n) => Array.from({ length: n }, (_, index) => index);
const nameOf = (app, id) => app.view.stations[id]?.name ?? id;

/** Boxes to strike, in fives. */
function Boxes({ n }) {
  return html`<span class="strike" aria-hidden="true"
    >${times(n).map((one) => html`<i key=${one} class=${one % 5 === 4 ? 'strike-fifth' : ''} />`)}</span
  >`;
}

/** A table of empty lines under its headings; on a small screen it is moved sideways, by keys too. */
function Lines({ label, heads, n }) {
  return html`<div class="table-room" tabindex="0" role="group" aria-label=${label}>
    <table class="paper-lines">
      <thead>
        <tr>
          ${heads.map((head) => html`<th key=${head} scope="col">${t(head)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${times(n).map(
          (row) => html`<tr key=${row}>${heads.map((head) => html`<td key=${head} />`)}</tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

function Page({ name, sub, picture, children }) {
  return html`<section class="paper-page" aria-label=${name}>
    <header class="paper-head">
      ${picture}
      <div>
        <h2>${name}</h2>
        <p>${sub}</p>
      </div>
    </header>
    ${children}
    <p class="paper-foot">${t('footer')}</p>
  </section>`;
}

const dayWords = ({ view }) => `${view.day.name} · ${view.day.date}`;

function fromWords(app, row) {
  return row.from.length ? listed(row.from.map((id) => nameOf(app, id))) : t('paper.from-boxes');
}

function toWords(app, row) {
  const names = row.ways.map((way) => nameOf(app, way.station));
  return names.length ? listed(names) : t('paper.to-done');
}

/** The process of the jars a product ends in, or why there is none. */
function Process({ app, product }) {
  const { name, process, ends_in: ends } = app.view.products[product];
  if (ends?.as !== 'canned') return null;
  if (!process) return html`<li><b>${name}</b> ${t('paper.no-altitude')}</li>`;
  if (!process.tested) return html`<li><b>${name}</b> ${t('paper.no-process')}</li>`;
  const { tested } = process;
  const facts = [
    minutesWords(tested),
    t('load.altitude', { height: heightWords(tested.altitude_ft) }),
    t('paper.headspace', { inches: inchWords(tested.headspace_64ths) }),
    waterWords(process, tested.method),
    tested.acid && t('load.acid', { acid: given(tested.acid) }),
    tested.sterilise_jars && t('paper.sterilise'),
  ].filter(Boolean);
  return html`<li>
    <b>${name}</b> ${facts.join(' · ')}<small class="soft" lang="en">${tested.source}</small>
  </li>`;
}

function Work({ app, row }) {
  const { step, boxes, wanted, to } = row;
  const holds = measured(step.carrier.holds, step.measure);
  return html`<li class="paper-row">
    <h3>${app.view.products[row.product].name}${to && ` → ${app.view.products[to.product]?.name}`}</h3>
    <p>
      ${[
        t('paper.carrier', { carrier: given(step.carrier.name), amount: holds }),
        t('paper.way', { from: fromWords(app, row), to: toWords(app, row) }),
        wanted !== null && t('paper.wanted', { n: wanted }),
      ]
        .filter(Boolean)
        .join(' · ')}
    </p>
    ${boxes > 0 && html`<${Boxes} n=${boxes} />`}
  </li>`;
}

const KINDS = {
  count: { heads: ['paper.who', 'paper.at-from', 'paper.at-to', 'paper.struck'], n: 8 },
  pots: {
    heads: ['paper.pot', 'paper.filled', 'paper.heat-on', 'paper.stirred', 'paper.done', 'paper.made'],
    n: 6,
  },
  loads: {
    heads: ['paper.load', 'paper.jars', 'paper.boil', 'paper.lost', 'paper.off', 'paper.lifted', 'paper.who'],
  },
  seals: { heads: ['paper.load', 'paper.lifted', 'paper.check-from', 'paper.sealed', 'paper.unsealed', 'paper.who'] },
};

/** The page of a station. */
export function StationPage({ app, sheet }) {
  const { station, kind, cautions, rows, lines } = sheet;
  const { heads, n: usual = lines } = KINDS[kind];
  // Where jars are filled the page holds their processes too.
  const fills = station.work === 'fill' && rows.length > 0;
  const n = kind === 'count' && fills ? 4 : usual;
  const asks = (station.needs ?? []).map((need) => t(`need.${need}`));
  const sub = [dayWords(app), t(`work.${station.work}`), asks.length > 0 && t('paper.asks', { asks: listed(asks) })];
  const shown = rows.map((row) => (kind === 'count' ? row : { ...row, boxes: 0 }));
  return html`<${Page}
    name=${station.name}
    sub=${sub.filter(Boolean).join(' · ')}
    picture=${html`<${WorkPicture} work=${station.work} size="56" />`}
  >
    ${
      cautions.length > 0 &&
      html`<ul class="paper-cautions">
        ${cautions.map(
          (one) =>
            html`<li key=${one}>
              <${StepPicture} of=${one} size="34" /><span
                ><b>${t(`card.${one}`)}</b> ${t(`card.${one}-how`)}</span
              >
            </li>`,
        )}
      </ul>`
    }
    ${
      (kind === 'loads' || fills) &&
      html`<ul class="paper-process">
        ${[...new Set(rows.flatMap((row) => row.ways.map((way) => way.product).concat(row.product)))].map(
          (id) => html`<${Process} key=${id} app=${app} product=${id} />`,
        )}
      </ul>`
    }
    <ul class="paper-rows">
      ${shown.map((row) => html`<${Work} key=${row.key} app=${app} row=${row} />`)}
    </ul>
    ${kind === 'loads' && html`<p>${t('paper.loads-about')}</p>`}
    ${kind === 'seals' && html`<p>${t('paper.seals-about')}</p>`}
    <${Lines} label=${station.name} heads=${heads} n=${n} /><//
  >`;
}

/** The page of the people. */
export function PeoplePage({ app }) {
  const people = helpersInOrder(app.view);
  return html`<${Page} name=${t('paper.people')} sub=${dayWords(app)}>
    <div class="table-room" tabindex="0" role="group" aria-label=${t('paper.people')}>
      <table class="paper-lines">
        <thead>
          <tr>
            <th scope="col">${t('paper.who')}</th>
            <th scope="col">${t('paper.not-for')}</th>
            <th scope="col">${t('paper.at-from')}</th>
            <th scope="col">${t('paper.at-to')}</th>
            <th scope="col">${t('paper.stations')}</th>
          </tr>
        </thead>
        <tbody>
          ${people.map(
            ([id, one]) =>
              html`<tr key=${id}>
                <th scope="row">${one.name}</th>
                <td>${(one.limits ?? []).map((need) => t(`need.${need}`)).join(', ')}</td>
                <td /><td /><td />
              </tr>`,
          )}
          ${times(4).map((row) => html`<tr key=${row}><td /><td /><td /><td /><td /></tr>`)}
        </tbody>
      </table>
    </div>
    <p>${t('paper.people-about')}</p><//
  >`;
}

/** How many boxes of a lot can be opened. */
const boxesOf = (lot) => Math.min(60, Math.ceil(lot.amount / lot.box_holds));

/** The lead's page. */
export function LeadPage({ app }) {
  const { day, lots, products } = app.view;
  const facts = [
    day.altitude_ft === undefined
      ? t('paper.no-altitude')
      : t('load.altitude', { height: heightWords(day.altitude_ft) }),
    day.cut_off_at !== undefined && t('paper.until', { at: timeOfDay(day.cut_off_at) }),
  ];
  return html`<${Page} name=${t('paper.lead')} sub=${dayWords(app)}>
    <p>${facts.filter(Boolean).join(' · ')}</p>
    <h3>${t('paper.lots')}</h3>
    <ul class="paper-rows">
      ${entriesOf(lots).map(
        ([id, lot]) =>
          html`<li class="paper-row" key=${id}>
            <p>
              <b>${lot.name}</b>${' · '}${measured(lot.amount, lot.measure)}${' · '}
              ${t('paper.box', { amount: measured(lot.box_holds, lot.measure) })}
            </p>
            <${Boxes} n=${boxesOf(lot)} />
          </li>`,
      )}
    </ul>
    <h3>${t('paper.products')}</h3>
    <ul class="paper-wanted">
      ${entriesOf(products)
        .filter(([, one]) => one.wanted !== undefined && one.package)
        .map(
          ([id, one]) => html`<li key=${id}>${one.name}: ${measured(one.wanted, one.package)} ______</li>`,
        )}
    </ul>
    <h3>${t('paper.notes')}</h3>
    <${Lines} label=${t('paper.notes')} heads=${['paper.at', 'paper.what']} n=${7} />
    <p>${t('paper.lead-about')}</p><//
  >`;
}
