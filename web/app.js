// Starts the page: desk, address, clock tick, screens. It only wires; what things mean is in core/,
// what they look like in screens/ and parts/.

import { html, render } from './ui.js';
import { t } from './words/words.js';
import { deskOf } from './desk.js';
import { allowSound } from './parts/alarms.js';
import { Frame } from './parts/frame.js';
import { Problem } from './parts/problem.js';
import { DaysScreen } from './screens/days.js';
import { JoinScreen } from './screens/join.js';
import { HelperScreen } from './screens/helper.js';
import { LeadScreen } from './screens/lead.js';
import { WallScreen } from './screens/wall.js';

const TICK_MS = 500;
const SCREENS = {
  days: DaysScreen,
  join: JoinScreen,
  helper: HelperScreen,
  lead: LeadScreen,
  wall: WallScreen,
};
// Screens that are opened seldom: not part of everybody's first load.
const SELDOM = {
  begin: () => import('./screens/begin.js').then((found) => found.BeginScreen),
  'set-up': () => import('./screens/set-up.js').then((found) => found.SetUpScreen),
  seals: () => import('./screens/seals.js').then((found) => found.SealsScreen),
  'look-back': () => import('./screens/look-back.js').then((found) => found.LookBackScreen),
};
const ALONE = ['days', 'begin', 'look-back'];
const root = document.getElementById('app');

const fetching = new Set();

function fetchSeldom(name) {
  if (!SELDOM[name] || fetching.has(name)) return;
  fetching.add(name);
  SELDOM[name]()
    .then((Part) => {
      SCREENS[name] = Part;
      draw();
    })
    .catch(() => fetching.delete(name));
}

function Screen({ app }) {
  const { screen } = app.at;
  const Part = SCREENS[screen];
  if (!Part) {
    fetchSeldom(screen);
    return html`<p class="frame">${t('days.loading')}</p>`;
  }
  if (ALONE.includes(screen) || app.view?.day) return html`<${Part} key=${screen} app=${app} />`;
  return html`<${Frame} app=${app} title=${t('name')} kind="narrow">
    ${
      app.trouble
        ? html`<${Problem} app=${app} problem=${app.trouble} />
            <a class="button" href="#/">${t('nav.days')}</a>`
        : html`<p class="soft">${t('days.loading')}</p>`
    }<//
  >`;
}

let drawing = false;
const desk = deskOf(() => {
  if (drawing) return;
  drawing = true;
  queueMicrotask(draw);
});

function draw() {
  drawing = false;
  const app = desk.app();
  document.title = app.view?.day ? `${app.view.day.name} · ${t('name')}` : t('name');
  render(html`<${Screen} app=${app} />`, root);
}

addEventListener('hashchange', desk.goto);
addEventListener('pointerdown', allowSound, { passive: true });
setInterval(draw, TICK_MS);
root.textContent = '';
desk.loadMe();
desk.goto();
