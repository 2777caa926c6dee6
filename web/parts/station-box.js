// One station in the kitchen: what waits as amount and minutes, who sits there, which seats are
// free, what runs. Leaves out pictures first, then words, until all of it fits its box; what waits,
// who sits there and the most urgent timer are never left out.
// <${StationBox} app=${app} id="wash" box=${box} unit=${14} onOpen=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { cannersAt, entriesOf, loadsAt, waitingAt } from '../core/flow.js';
import { listed } from '../core/format.js';
import { timersAt } from '../core/timers.js';
import { depthAt, marksOf, stationSays } from '../core/outlook.js';
import { useFit } from './fit.js';
import { Mark, WorkPicture } from './pictures.js';
import { Pile } from './pile.js';
import { Person } from './people.js';
import { carriersWords, depthWords } from './waiting.js';
import { Marks, Meter, Says } from './outlook/marks.js';
import { Spark } from './outlook/spark.js';
import { timerNumber, timerWords } from './timers.js';

const MARK = { late: 'due', due: 'due', soon: 'soon', calm: 'calm' };

/** How large the words are, in units of the smallest, and what is still shown; each leaves out a
 * little more than the one before. */
const ALL = { size: 1, queues: 3, timers: 4, rows: 3, spark: true, names: true, idle: true };
const LISTED = { ...ALL, size: 1.07, queues: 9, timers: 9 };
const FEW = { size: 1, queues: 2, timers: 4 };
const LEVELS = [
  { ...ALL, size: 1.17 },
  { ...ALL, size: 1.1 },
  { ...ALL, size: 1.1, spark: false },
  { ...ALL, spark: false, rows: 2 },
  { ...ALL, spark: false, rows: 2, names: false },
  { ...ALL, spark: false, rows: 1, names: false, idle: false },
  { ...ALL, spark: false, rows: 0, names: false, idle: false },
  FEW,
  { ...FEW, brief: true },
  { ...FEW, brief: true, queues: 1 },
  { ...FEW, brief: true, queues: 1, short: true },
  { ...FEW, brief: true, queues: 1, short: true, bare: true },
  { ...FEW, brief: true, queues: 1, timers: 1, short: true, bare: true },
  { ...FEW, brief: true, queues: 1, timers: 1, short: true, bare: true, lean: true },
];

function Depth({ app, list, show, says }) {
  // What the station says of its empty queue takes the place of "nothing waits".
  if (!list.length) return says ? null : html`<p class="box-none">${t('waiting.none')}</p>`;
  const shown = list.slice(0, show.queues);
  const rest = list.length - shown.length;
  return html`<ul class="box-depth">
    ${shown.map(
      (one, index) =>
        html`<li key=${one.product}>
          <strong>${show.lean ? carriersWords(one) : depthWords(one)}</strong>
          ${
            !show.short &&
            html`${' '}<span>${app.view.products[one.product]?.name ?? one.product}</span>`
          }
          ${index === shown.length - 1 && rest > 0 && html`${' '}<b>${t('more', { n: rest })}</b>`}
        </li>`,
    )}
  </ul>`;
}

function Seats({ app, station, bare }) {
  return html`<div class="box-seats">
    ${entriesOf(station.seated).map(
      ([id]) => html`<${Person} key=${id} small=${true} helper=${app.view.helpers?.[id]} />`,
    )}
    ${
      station.free > 0 &&
      html`<span class="free"
        ><${Mark} of="seat" /><span class=${bare ? 'only-read' : ''}
          >${t('seat.free', { n: station.free })}</span
        >${bare && html`<span aria-hidden="true">${station.free}</span>`}</span
      >`
    }
  </div>`;
}

function TimerChip({ app, timer, several, brief }) {
  const place =
    several && timer.canner ? app.view.stations[timer.station].canners[timer.canner]?.name : null;
  const words = timerWords(app.view, timer, true);
  return html`<span class=${`box-timer timer-${timer.level}`}
    ><${Mark} of=${MARK[timer.level]} />
    <span class=${brief ? 'only-read' : ''}>${place ? `${place}: ${words}` : words}</span> <b>${timerNumber(timer)}</b></span
  >`;
}

function idleWords(app, id, station) {
  const pots = entriesOf(station.pots);
  const used = pots.filter(([, pot]) => pot.phase !== 'empty').length;
  if (pots.length) return used === 0 ? t('box.pots', { used, all: pots.length }) : '';
  const idle = cannersAt(app.view, id)
    .filter(({ load }) => !load)
    .map(({ canner }) => canner.name);
  return idle.length ? t('box.idle', { n: idle.length, canners: listed(idle) }) : '';
}

function Running({ app, id, station, timers, show }) {
  const idle = show.idle && timers.length < show.timers ? idleWords(app, id, station) : '';
  const several = cannersAt(app.view, id).length > 1;
  const rest = timers.length - show.timers;
  return html`<div class="box-running">
    <${Says} app=${app} id=${id} brief=${show.bare} />
    ${timers
      .slice(0, show.timers)
      .map(
        (timer, index) =>
          html`<${TimerChip}
            key=${timer.key}
            app=${app}
            timer=${timer}
            several=${several}
            brief=${show.bare || (show.brief && index > 0)}
          />`,
      )}
    ${rest > 0 && html`<span class="soft">${t('more', { n: rest })}</span>`}
    ${
      station.hold &&
      html`<span class="box-timer timer-soon"
        ><${Mark} of="hand" /><span>${t('hold.title')}</span></span
      >`
    }
    ${idle && html`<span class="soft">${idle}</span>`}
  </div>`;
}

function placeOf(box, size) {
  if (!box) return {};
  return {
    left: `${box.x}px`,
    top: `${box.y}px`,
    width: `${box.width}px`,
    height: `${box.height}px`,
    fontSize: `${size}px`,
  };
}

/** Of food that stands only the oldest is said in the box; the rest is said at the station. */
const oldestOfKind = (timers) =>
  timers.filter(
    (one, at) => !one.product || timers.findIndex(({ kind }) => kind === one.kind) === at,
  );

/** Everything that makes a box fuller; figures only by how many digits they have. */
function fullness(app, box, unit, { station, list, timers, says, marks, minutes, names, busy }) {
  const words = [
    station.name,
    ...names,
    station.free > 0,
    ...list.map((one) => [depthWords(one), app.view.products[one.product]?.name]),
    ...timers.map((one) => [timerWords(app.view, one, true), timerNumber(one)]),
    says?.says,
    ...marks,
    minutes !== null,
    Boolean(station.hold),
    busy,
    document.documentElement.lang,
  ];
  const room = box ? `${Math.round(box.width)} ${Math.round(box.height)} ${unit}` : 'listed';
  return `${room} ${words.join('|').replace(/\d/g, '0')}`;
}

/** Everything that is drawn in a box beside its place, to be compared by identity. */
export const boxShows = (app, id) => {
  const { stations, helpers, products, loads, lots } = app.view;
  const people = Object.keys(stations[id].seated ?? {}).map(
    (one) => `${helpers?.[one]?.name} ${helpers?.[one]?.sign}`,
  );
  const timers = timersAt(app.timers, id).map(
    (one) => `${one.key} ${one.level} ${timerNumber(one)}`,
  );
  // As texts, so that the list keeps its length whoever sits there and whatever runs.
  return [stations[id], products, loads, lots, app.ahead, isBusy(app, id), `${people}`, `${timers}`];
};

const isBusy = (app, id) => app.pending(({ command }) => command.station === id);

/** The box; its name is a button that covers it where it can be opened, plain on the wall. */
export function StationBox({ app, id, box, unit, wall, then, onOpen }) {
  const station = app.view.stations[id];
  const timers = oldestOfKind(timersAt(app.timers, id));
  const list = waitingAt(station);
  const says = stationSays(app.view, app.ahead, id);
  const marks = marksOf(app.ahead, id);
  const minutes = depthAt(app.view, app.ahead, id);
  const names = Object.keys(station.seated ?? {}).map(
    (one) => app.view.helpers?.[one]?.name ?? one,
  );
  const short = loadsAt(app.view, id).some(({ load }) => load.short);
  const busy = isBusy(app, id);
  const key = fullness(app, box, unit, {
    station,
    list,
    timers,
    says,
    marks,
    minutes,
    names,
    busy,
  });
  // Near by a little smaller is large enough.
  const from = wall ? 0 : 1;
  const [element, level] = useFit(key, box ? LEVELS.length - 1 - from : 0);
  const show = box ? LEVELS[level + from] : LISTED;
  const kinds = [
    ['station-box', true],
    [`box-${timers[0]?.level ?? 'calm'}`, true],
    ['box-short', short],
    ['box-marked', marks.length > 0],
    ['box-signs', !show.names],
    ['box-brief', show.brief],
    ['box-bare', show.bare],
    ['box-listed', !box],
  ];
  const kind = kinds
    .filter(([, holds]) => holds)
    .map(([name]) => name)
    .join(' ');
  return html`<div class=${kind} ref=${element} style=${placeOf(box, unit * show.size)}>
    <span class="box-head">
      ${!show.bare && html`<${WorkPicture} work=${station.work} />`}
      ${
        onOpen
          ? html`<button class="box-name box-open" onClick=${() => onOpen(id)}>
              ${station.name}
            </button>`
          : html`<strong class="box-name">${station.name}</strong>`
      }
      ${short && html`<${Mark} of="danger" />`}
      ${busy && html`<span class="box-pending">${t('pending.short')}</span>`}</span
    >
    <${Marks} app=${app} id=${id} narrow=${show.brief} bare=${show.bare} />
    <${Seats} app=${app} station=${station} bare=${show.bare} />
    <${Meter} app=${app} id=${id} />
    <div class="box-body">
      <div class="box-what">
        <${Depth} app=${app} list=${list} show=${show} says=${says} />
        <${Running} app=${app} id=${id} station=${station} timers=${timers} show=${show} />
      </div>
      <div class="box-beside">
        ${
          show.spark &&
          !wall &&
          html`<${Spark} app=${app} id=${id} width=${54} height=${18} quiet=${true} />`
        }
        ${
          list.length > 0 &&
          show.rows > 0 &&
          html`<${Pile}
            carriers=${list[0].carriers ?? 0}
            name=${list[0].carrier?.name}
            measure=${list[0].measure}
            rows=${show.rows}
            scale=${(unit / 19) * show.size}
          />`
        }
      </div>
    </div>
    ${then && html`<p class="box-then soft">${then}</p>`}
  </div>`;
}
