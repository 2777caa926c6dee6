// One station in the kitchen: what waits, who sits there, which seats are free, what runs.
// Fits itself to its box: who sits there is never left out, long queues end in "and n more".
// <${StationBox} app=${app} id="wash" box=${box} shape="flat" onOpen=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { cannersAt, entriesOf, loadsAt, waitingAt } from '../core/flow.js';
import { listed } from '../core/format.js';
import { timersAt } from '../core/timers.js';
import { depthAt, marksOf, stationSays } from '../core/outlook.js';
import { linesFor, textSize } from '../core/box-text.js';
import { Mark, WorkPicture } from './pictures.js';
import { Pile } from './pile.js';
import { Person } from './people.js';
import { depthWords } from './waiting.js';
import { Marks, Meter, Says } from './outlook/marks.js';
import { timerNumber, timerWords } from './timers.js';

const MARK = { late: 'due', due: 'due', soon: 'soon', calm: 'calm' };
const ROWS = { tall: 4, flat: 3 };

function Depth({ app, list, most, says }) {
  // What the station says of its empty queue takes the place of "nothing waits".
  if (!list.length) return says ? null : html`<p class="box-none">${t('waiting.none')}</p>`;
  const shown = list.slice(0, most);
  return html`<ul class="box-depth">
    ${shown.map(
      (one, index) =>
        html`<li key=${one.product}>
          <strong>${depthWords(one)}</strong>${' '}
          <span>${app.view.products[one.product]?.name ?? one.product}</span>
          ${
            index === shown.length - 1 &&
            list.length > most &&
            html`${' '}<b>${t('more', { n: list.length - most })}</b>`
          }
        </li>`,
    )}
  </ul>`;
}

function Seats({ app, station, size }) {
  return html`<div class="box-seats">
    ${entriesOf(station.seated).map(
      ([id]) =>
        html`<${Person} key=${id} small=${true} size=${size} helper=${app.view.helpers?.[id]} />`,
    )}
    ${
      station.free > 0 &&
      html`<span class="free"
        ><${Mark} of="seat" size="16" />${t('seat.free', { n: station.free })}</span
      >`
    }
  </div>`;
}

function TimerChip({ app, timer, several }) {
  const place =
    several && timer.canner ? app.view.stations[timer.station].canners[timer.canner]?.name : null;
  const words = timerWords(app.view, timer, true);
  return html`<span class=${`box-timer timer-${timer.level}`}
    ><${Mark} of=${MARK[timer.level]} size="16" />
    <span>${place ? `${place}: ${words}` : words}</span> <b>${timerNumber(timer)}</b></span
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

function Running({ app, id, station, timers, most }) {
  const idle = timers.length < most ? idleWords(app, id, station) : '';
  const several = cannersAt(app.view, id).length > 1;
  return html`<div class="box-running">
    ${timers
      .slice(0, most)
      .map(
        (timer) =>
          html`<${TimerChip} key=${timer.key} app=${app} timer=${timer} several=${several} />`,
      )}
    ${
      station.hold &&
      html`<span class="box-timer timer-soon"
        ><${Mark} of="hand" size="16" /><span>${t('hold.title')}</span></span
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
    ...(size && { fontSize: `${size}px` }),
  };
}

/** Of food that stands only the oldest is said in the box; the rest is said at the station. */
const oldestOfKind = (timers) =>
  timers.filter(
    (one, at) => !one.product || timers.findIndex(({ kind }) => kind === one.kind) === at,
  );

/** The box; its name is a button that covers it where it can be opened, plain on the wall. */
export function StationBox({ app, id, box, shape, wall, then, onOpen }) {
  const station = app.view.stations[id];
  const timers = oldestOfKind(timersAt(app.timers, id));
  const list = waitingAt(station);
  const says = stationSays(app.view, app.ahead, id);
  const marked = marksOf(app.ahead, id).length;
  const names = Object.keys(station.seated ?? {}).map(
    (one) => app.view.helpers?.[one]?.name ?? one,
  );
  const size =
    wall && box
      ? textSize(box, {
          name: station.name,
          names,
          free: station.free,
          waiting: list.length,
          timers: timers.length,
          says: says !== null && list.length > 0,
          idle: Boolean(idleWords(app, id, station)),
          marks: marked,
          minutes: depthAt(app.view, app.ahead, id) !== null,
        })
      : null;
  const lines = linesFor(shape, box, {
    waiting: list.length,
    timers: timers.length,
    more: says && list.length ? 1 : 0,
    marks: marked,
    names,
    name: station.name,
    size,
  });
  const short = loadsAt(app.view, id).some(({ load }) => load.short);
  const busy = app.pending(({ command }) => command.station === id);
  const kinds = [
    ['station-box', true],
    [`box-${shape}`, true],
    [`box-${timers[0]?.level ?? 'calm'}`, true],
    ['box-short', short],
    ['box-marked', marked > 0],
    ['box-twice', marked > 1],
    ['box-signs', lines.signs],
    ['box-narrow', lines.narrow],
    ['box-low', lines.low],
    ['box-listed', !box],
  ];
  const kind = kinds
    .filter(([, holds]) => holds)
    .map(([name]) => name)
    .join(' ');
  const scale = size ? size / 15 : shape === 'tall' ? 1 : 0.75;
  return html`<div class=${kind} style=${placeOf(box, size)}>
    <div class="box-top">
      <span class="box-head"
        ><${WorkPicture} work=${station.work} size=${size ? size * 1.5 : 20} /> ${
          onOpen
            ? html`<button class="box-name box-open" onClick=${() => onOpen(id)}>
                ${station.name}
              </button>`
            : html`<strong class="box-name">${station.name}</strong>`
        }
        ${short && html`<${Mark} of="danger" size="18" />`}
        ${busy && html`<span class="box-pending">${t('pending.short')}</span>`}</span
      >
      <${Seats} app=${app} station=${station} size=${size ? size * 1.3 : 22} />
    </div>
    <${Marks} app=${app} id=${id} size=${size ?? 15} narrow=${lines.narrow} />
    <${Meter} app=${app} id=${id} wall=${wall} />
    <div class="box-pile">
      ${
        list.length > 0 &&
        html`<${Pile}
          carriers=${list[0].carriers ?? 0}
          name=${list[0].carrier?.name}
          measure=${list[0].measure}
          rows=${ROWS[shape]}
          scale=${scale}
        />`
      }
    </div>
    <div class="box-what">
      <${Depth} app=${app} list=${list} most=${lines.waiting} says=${says} />
      <${Says} app=${app} id=${id} />
      <${Running} app=${app} id=${id} station=${station} timers=${timers} most=${lines.timers} />
    </div>
    ${then && html`<p class="box-then soft">${then}</p>`}
  </div>`;
}
