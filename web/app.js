// Starts the page: desk, address, clock tick, screens. It only wires; what things mean is in core/,
// what they look like in screens/ and parts/.

import { html, render } from './ui.js';
import { t } from './words/words.js';
import { deskOf } from './desk.js';
import { startTongue } from './tongue.js';
import { allowSound } from './parts/sound.js';
import { keepAwake } from './parts/keep-awake.js';
import { Frame } from './parts/frame.js';
import { fetchSoon, later } from './parts/later.js';
import { isPressed, watchPresses } from './parts/press.js';
import { Problem } from './parts/problem.js';
import { JoinScreen } from './screens/join.js';
import { HelperScreen } from './screens/helper.js';

const TICK_MS = 500;
/** When the first screen stands, what it will need later is fetched ahead. */
const SOON_MS = 3000;
// What helpers see comes with the page; the rest when it is first asked for, so that a phone at the
// edge of the Wi-Fi has little to fetch.
/** Screens of coming in, of choosing a day and of the lead, whose words come with the first of them. */
const ACCESS = { of: 'access' };
const SCREENS = {
  door: later(() => import('./screens/door.js').then((found) => found.DoorScreen), ACCESS),
  days: later(() => import('./screens/days.js').then((found) => found.DaysScreen), ACCESS),
  join: JoinScreen,
  helper: HelperScreen,
  lead: later(() => import('./screens/lead.js').then((found) => found.LeadScreen), ACCESS),
  wall: later(() => import('./screens/wall.js').then((found) => found.WallScreen)),
};
/** Screens of before and after the day, whose words and style come with the first of them. */
const SEASON = { of: 'season' };
for (const [name, part] of Object.entries({
  begin: 'BeginScreen',
  'set-up': 'SetUpScreen',
  seals: 'SealsScreen',
  prepare: 'PrepareScreen',
  learned: 'LearnedScreen',
  'look-back': 'LookBackScreen',
  labels: 'LabelsScreen',
  shelf: 'ShelfScreen',
  lot: 'LotScreen',
  gather: 'GatherScreen',
  paper: 'PaperScreen',
  typed: 'TypedScreen',
  carry: 'CarryScreen',
}))
  SCREENS[name] = later(() => import(`./screens/${name}.js`).then((found) => found[part]), SEASON);
const STAYS_AWAKE = ['join', 'helper', 'lead', 'wall'];
const ALONE = [
  'door',
  'days',
  'begin',
  'prepare',
  'learned',
  'look-back',
  'labels',
  'shelf',
  'lot',
  'carry',
];
const root = document.getElementById('app');

function Screen({ app }) {
  const screen = app.guest ? 'door' : app.at.screen;
  const Part = SCREENS[screen];
  // Who is still coming in by a key is not let ask for anything yet.
  if (!app.coming && (ALONE.includes(screen) || app.view?.day))
    return html`<${Part} key=${screen} app=${app} />`;
  return html`<${Frame} app=${app} title=${t('name')} kind="narrow">
    ${
      app.trouble
        ? html`<${Problem} app=${app} problem=${app.trouble} />
            <a class="button" href="#/">${t('nav.days')}</a>`
        : html`<p class="soft">${t('days.loading')}</p>`
    }<//
  >`;
}

// However much changes at once, a screen is drawn once for each frame that is shown.
let asked = 0;
/** Something is to be drawn, as soon as nothing is pressed any more. */
let isHeld = false;
const drawSoon = () => {
  asked ||= requestAnimationFrame(draw);
};
const desk = deskOf(drawSoon);

function draw() {
  cancelAnimationFrame(asked);
  asked = 0;
  isHeld = isPressed();
  if (isHeld) return;
  const app = desk.app();
  document.title = app.view?.day ? `${app.view.day.name} · ${t('name')}` : t('name');
  render(html`<${Screen} app=${app} />`, root);
}

startTongue();
addEventListener('hashchange', desk.goto);
addEventListener('beforeunload', (event) => {
  if (desk.wouldBeMissed()) event.preventDefault();
});
// The first touch or key anywhere opens the sound; each one may wake what keeps the screen awake.
function touched() {
  allowSound();
  if (STAYS_AWAKE.includes(desk.screen())) keepAwake();
}
for (const kind of ['pointerdown', 'click', 'keydown'])
  addEventListener(kind, touched, { passive: true });
document.addEventListener('visibilitychange', touched);
watchPresses(() => isHeld && drawSoon());
setInterval(draw, TICK_MS);
setTimeout(fetchSoon, SOON_MS);
root.textContent = '';
desk.start();
