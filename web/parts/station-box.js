// One station in the kitchen: what waits, who sits there, which seats are free, what runs.
// Fits itself to its box. <${StationBox} app=${app} id="wash" box=${box} onOpen=${open} />

import { html } from '../ui.js';
import { t } from '../words/words.js';
import { entriesOf, loadAt, waitingAt } from '../core/flow.js';
import { timersAt } from '../core/timers.js';
import { Mark, WorkPicture } from './pictures.js';
import { Pile } from './pile.js';
import { Person } from './people.js';
import { depthWords } from './waiting.js';
import { timerNumber, timerWords } from './timers.js';

const MARK = { late: 'due', due: 'due', soon: 'soon', calm: 'calm' };

function Depth({ app, station }) {
  const list = waitingAt(station);
  const standing = station.nature?.is === 'hold';
  if (!list.length) return html`<p class="box-none">${t('waiting.none')}</p>`;
  const [deep] = list;
  return html`<div class="box-depth">
    <${Pile} carriers=${deep.carriers ?? 0} name=${deep.carrier?.name} measure=${deep.measure} rows=${3} scale=${0.8} />
    <ul>${list.slice(0, 3).map((one) => html`<li key=${one.product}><strong>${depthWords(one)}</strong>
      <span>${app.view.products[one.product]?.name ?? one.product}${standing ? t('box.stands') : ''}</span></li>`)}
    ${list.length > 3 && html`<li>${t('more', { n: list.length - 3 })}</li>`}</ul></div>`;
}

function Seats({ app, station }) {
  const seated = entriesOf(station.seated);
  return html`<div class="box-seats">
    ${seated.map(([id]) => html`<${Person} key=${id} small=${true} helper=${app.view.helpers?.[id]} />`)}
    ${station.free > 0 && html`<span class="free"><${Mark} of="seat" size="16" />
      ${t('seat.free', { n: station.free })}</span>`}
    ${station.seats === 0 && html`<span class="soft">${t('seat.none')}</span>`}</div>`;
}

function Running({ app, id, station }) {
  const timers = timersAt(app.timers, id).slice(0, 2);
  const pots = entriesOf(station.pots).filter(([, pot]) => pot.phase !== 'empty').length;
  const all = entriesOf(station.pots).length;
  const load = loadAt(station);
  return html`<div class="box-running">
    ${timers.map((timer) => html`<span key=${timer.key} class=${`box-timer timer-${timer.level}`}>
      <${Mark} of=${MARK[timer.level]} size="16" /><span>${timerWords(app.view, timer, true)}</span>
      <b>${timerNumber(timer)}</b></span>`)}
    ${all > 0 && html`<span class="soft">${t('box.pots', { used: pots, all })}</span>`}
    ${load && html`<span class="soft">${t('box.load', { n: load.jar_count })}</span>`}
    ${station.nature?.is === 'canner' && !load && html`<span class="soft">${t('box.no-load')}</span>`}</div>`;
}

/** The box; its name is a button that covers it where it can be opened, plain on the wall. */
export function StationBox({ app, id, box, onOpen }) {
  const station = app.view.stations[id];
  const worst = timersAt(app.timers, id)[0]?.level ?? 'calm';
  const short = loadAt(station)?.short;
  const busy = app.pending(({ command }) => command.station === id);
  const style = { left: `${box.x}px`, top: `${box.y}px`, width: `${box.width}px`, height: `${box.height}px` };
  const shape = box.width > box.height * 1.9 ? 'box-flat' : 'box-tall';
  const inside = html`<span class="box-head"><${WorkPicture} work=${station.work} size="26" />
      ${onOpen ? html`<button class="box-name box-open" onClick=${() => onOpen(id)}>${station.name}</button>`
        : html`<strong class="box-name">${station.name}</strong>`}
      ${short && html`<${Mark} of="danger" size="18" />`}
      ${busy && html`<span class="box-pending">${t('pending.short')}</span>`}</span>
    <${Depth} app=${app} station=${station} />
    <${Running} app=${app} id=${id} station=${station} />
    <${Seats} app=${app} station=${station} />`;
  const kind = `station-box ${shape} box-${worst}${short ? ' box-short' : ''}`;
  return html`<div class=${kind} style=${style}>${inside}</div>`;
}
