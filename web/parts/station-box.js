// One station in the kitchen: what waits, who sits there, which seats are free, what runs.
// Fits itself to its box. <${StationBox} app=${app} id="wash" box=${box} onOpen=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { cannersAt, entriesOf, loadsAt, waitingAt } from '../core/flow.js';
import { listed } from '../core/format.js';
import { timersAt } from '../core/timers.js';
import { Mark, WorkPicture } from './pictures.js';
import { Pile } from './pile.js';
import { Person } from './people.js';
import { depthWords } from './waiting.js';
import { timerNumber, timerWords } from './timers.js';

const MARK = { late: 'due', due: 'due', soon: 'soon', calm: 'calm' };

const ROWS = { tall: 4, flat: 3, small: 1 };
const SCALE = { tall: 1, flat: 0.7, small: 0.7, 'wall-tall': 1.15, 'wall-flat': 1, 'wall-small': 1.2 };

function Depth({ app, station, shape, wall }) {
  const most = shape === 'tall' ? 3 : 2;
  const list = waitingAt(station);
  const standing = station.nature?.is === 'hold';
  if (!list.length) return html`<p class="box-none">${t('waiting.none')}</p>`;
  const [deep] = list;
  return html`<div class="box-depth">
    <${Pile} carriers=${deep.carriers ?? 0} name=${deep.carrier?.name} measure=${deep.measure} rows=${ROWS[shape]} scale=${SCALE[wall ? `wall-${shape}` : shape]} />
    <ul>${list.slice(0, most).map((one) => html`<li key=${one.product}><strong>${depthWords(one)}</strong>
      <span>${app.view.products[one.product]?.name ?? one.product}${standing ? t('box.stands') : ''}</span></li>`)}
    ${list.length > most && html`<li>${t('more', { n: list.length - most })}</li>`}</ul></div>`;
}

function Seats({ app, station, size, wall }) {
  const seated = entriesOf(station.seated);
  return html`<div class="box-seats">
    ${seated.map(([id]) => html`<${Person} key=${id} small=${true} size=${size} helper=${app.view.helpers?.[id]} />`)}
    ${station.free > 0 && html`<span class="free"><${Mark} of="seat" size="16" />
      ${t('seat.free', { n: station.free })}</span>`}
    ${station.seats === 0 && !wall && html`<span class="soft">${t('seat.none')}</span>`}</div>`;
}

function TimerChip({ app, timer, several }) {
  const place = several && timer.canner ? app.view.stations[timer.station].canners[timer.canner]?.name : null;
  const words = timerWords(app.view, timer, true);
  return html`<span class=${`box-timer timer-${timer.level}`}><${Mark} of=${MARK[timer.level]} size="16" />
    <span>${place ? `${place}: ${words}` : words}</span><b>${timerNumber(timer)}</b></span>`;
}

function Running({ app, id, station, most }) {
  const timers = timersAt(app.timers, id);
  const canners = cannersAt(app.view, id);
  const idle = canners.filter(({ load }) => !load).map(({ canner }) => canner.name);
  const pots = entriesOf(station.pots);
  return html`<div class="box-running">
    ${timers.slice(0, most).map((timer) => html`<${TimerChip} key=${timer.key} app=${app} timer=${timer} several=${canners.length > 1} />`)}
    ${timers.length > most && html`<span class="soft">${t('more', { n: timers.length - most })}</span>`}
    ${pots.length > 0 && timers.length === 0 && html`<span class="soft">${t('box.pots', { used: pots.filter(([, pot]) => pot.phase !== 'empty').length, all: pots.length })}</span>`}
    ${idle.length > 0 && timers.length < most && html`<span class="soft">${t('box.idle', { n: idle.length, canners: listed(idle) })}</span>`}</div>`;
}

/** On a wall the text grows with the box, so that it is read from across the room. */
function textSize(box, shape) {
  const lines = shape === 'tall' ? 10.5 : 7;
  return Math.round(Math.max(16, Math.min(36, box.width / 12, box.height / lines)));
}

/** The box; its name is a button that covers it where it can be opened, plain on the wall. */
export function StationBox({ app, id, box, shape, wall, then, onOpen }) {
  const station = app.view.stations[id];
  const worst = timersAt(app.timers, id)[0]?.level ?? 'calm';
  const short = loadsAt(app.view, id).some(({ load }) => load.short);
  const busy = app.pending(({ command }) => command.station === id);
  const text = wall && box ? { fontSize: `${textSize(box, shape)}px` } : {};
  const style = box ? { ...text, left: `${box.x}px`, top: `${box.y}px`, width: `${box.width}px`, height: `${box.height}px` } : {};
  const kind = `station-box box-${shape} box-${worst}${short ? ' box-short' : ''}`;
  return html`<div class=${kind} style=${style}>
    <div class="box-who"><span class="box-head"><${WorkPicture} work=${station.work} size=${wall ? 36 : 20} />
      ${onOpen ? html`<button class="box-name box-open" onClick=${() => onOpen(id)}>${station.name}</button>`
        : html`<strong class="box-name">${station.name}</strong>`}
      ${short && html`<${Mark} of="danger" size="18" />`}
      ${busy && html`<span class="box-pending">${t('pending.short')}</span>`}</span>
      <${Seats} app=${app} station=${station} size=${wall ? 30 : 22} wall=${wall} /></div>
    <div class="box-what"><${Depth} app=${app} station=${station} shape=${shape} wall=${wall} />
      <${Running} app=${app} id=${id} station=${station} most=${shape === 'tall' ? 4 : 2} /></div>
    ${then && html`<p class="box-then soft">${then}</p>`}</div>`;
}
