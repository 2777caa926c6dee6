// How a slow tablet feels: the CPU slowed six times by the browser's protocol, a kitchen of 12
// stations and 30 helpers. From the tap to the first frame that shows its answer, and from a patch's
// arrival to the frame that shows it, each beside an empty frame of the same page. A bench: it
// prints figures and judges nothing. Usage: node bench-tablet.js [--slow=6] [--taps=60]

import { launch, pageOf } from './browser.js';
import { joinAs, button, tap } from './person.js';
import { blankStage, fixture, until } from './stage.js';

const flags = process.argv.slice(2);
const flag = (name, usual) =>
  Number(flags.find((one) => one.startsWith(`--${name}=`))?.slice(name.length + 3) ?? usual);
const SLOW = flag('slow', 6);
const TAPS = flag('taps', 60);
const STATIONS = 12;
const HELPERS = 30;
const PEARS = { order: 'open-box', lot: 'pears-hill', product: 'pears-quart' };
const MANY = { order: 'recount', station: 'wash', product: 'pears-quart', lot: 'pears-hill' };
const SIGNS = ['pear', 'apple', 'plum', 'jar', 'spoon', 'hen'];

/** The orchard's day with as many stations and people as the bench asks for. */
async function crowded(stage) {
  const plan = await fixture('demo/day.json');
  const day = await stage.lead.openDay(plan);
  const order = (command) => stage.lead.order(day, command);
  const ids = Object.keys(plan.stations);
  for (const station of ids.slice(STATIONS)) {
    // What the flow still needs stays; then the kitchen is the larger.
    await order({ order: 'put-away', station }).catch(() => {});
  }
  const helpers = Object.keys(plan.helpers);
  for (let n = helpers.length; n < HELPERS; n += 1)
    await order({
      order: 'add-helper',
      helper: `guest-${n}`,
      plan: { name: `Guest ${n}`, sign: SIGNS[n % 6], age: 30, limits: [], likes: [], here: true },
    });
  await order(PEARS);
  await order({ ...MANY, amount: 600_000 });
  return { day, order };
}

/** Everything measured in the page's own time: its taps, its patches, its frames. */
function clocks() {
  const frame = () =>
    new Promise((resolve) => {
      requestAnimationFrame(() => {
        const channel = new MessageChannel();
        channel.port1.onmessage = () => resolve(performance.now());
        channel.port2.postMessage(0);
      });
    });
  const { kept, patches } = { kept: [], patches: [] };
  globalThis.bench = { kept, patches };
  addEventListener(
    'click',
    async (event) => {
      const from = event.timeStamp;
      const words = document.querySelector('.undo')?.textContent;
      for (let tries = 0; tries < 200; tries += 1) {
        const at = await frame();
        if (document.querySelector('.undo')?.textContent !== words) {
          kept.push(at - from);
          return;
        }
      }
    },
    true,
  );
  const Plain = globalThis.WebSocket;
  globalThis.WebSocket = class extends Plain {
    constructor(...all) {
      super(...all);
      this.addEventListener('message', async ({ data }) => {
        if (!data.startsWith('{"push":"patch"')) return;
        const from = performance.now();
        patches.push((await frame()) - from);
      });
    }
  };
  globalThis.emptyFrame = async () => {
    const from = performance.now();
    return (await frame()) - from;
  };
}

const at = (list, share) => [...list].sort((a, b) => a - b)[Math.floor((list.length - 1) * share)];
function say(name, list, empty) {
  const [middle, most] = [at(list, 0.5), at(list, 0.95)];
  console.log(
    `${name.padEnd(44)} n ${String(list.length).padStart(3)}  median ${middle.toFixed(1)} ms` +
      `  95 % ${most.toFixed(1)} ms  to an empty frame ${(middle / empty).toFixed(1)}`,
  );
}

async function slowPage(browser, stage) {
  const { page, context } = await pageOf(browser, stage.base, { size: 'tablet' });
  await page.addInitScript(clocks);
  return {
    page,
    close: () => context.close(),
    async slow(rate) {
      const session = await context.newCDPSession(page);
      await session.send('Emulation.setCPUThrottlingRate', { rate });
    },
  };
}

async function emptyFrames(page) {
  const list = [];
  for (let n = 0; n < 40; n += 1) list.push(await page.evaluate(() => globalThis.emptyFrame()));
  return list;
}

const stage = await blankStage();
const browser = await launch();
try {
  const { day, order } = await crowded(stage);
  const view = await stage.lead.view(day);
  const stations = Object.values(view.stations).filter((one) => one.set_up).length;
  console.log(`${stations} stations, ${Object.keys(view.helpers).length} helpers, ${SLOW} x slower`);

  const helper = await slowPage(browser, stage);
  await helper.page.goto(stage.page(`day/${day}/join`));
  await joinAs(helper.page, 'Osk');
  await tap(helper.page, /^Wash fruit/);
  await button(helper.page, /^One colander done/).waitFor();
  await helper.slow(SLOW);
  const empty = at(await emptyFrames(helper.page), 0.5);
  say('an empty frame', await emptyFrames(helper.page), empty);
  // By the pointer alone: what a driver asks of the page around a click is no part of a tap.
  const act = await helper.page.locator('.act').boundingBox();
  const middle = { x: act.x + act.width / 2, y: act.y + act.height / 2 };
  for (let n = 0; n < TAPS; n += 1) {
    await helper.page.mouse.click(middle.x, middle.y, { delay: 60 });
    await helper.page.waitForTimeout(250);
  }
  const mine = await helper.page.evaluate(() => globalThis.bench);
  say('helper: from tap to visible answer', mine.kept, empty);
  say('helper: from a patch to paint', mine.patches, empty);
  // One tablet shows one page; a second slowed one would take its processor.
  await helper.close();

  const lead = await slowPage(browser, stage);
  await lead.page.goto(stage.leadAddress);
  await lead.page.getByRole('link', { name: 'Begin a new day' }).waitFor();
  await lead.page.goto(`${stage.base}/#/day/${day}/lead`);
  await lead.page.locator('.station-box').first().waitFor();
  await lead.slow(SLOW);
  const leadEmpty = at(await emptyFrames(lead.page), 0.5);
  for (let n = 0; n < TAPS; n += 1) {
    await order({ ...MANY, amount: 600_000 + n * 3000 });
    await lead.page.waitForTimeout(250);
  }
  const theirs = await until(async () => {
    const found = await lead.page.evaluate(() => globalThis.bench.patches);
    return found.length > TAPS / 2 && found;
  }, 'patches on the lead page');
  say('lead: from a patch to paint', theirs, leadEmpty);
} finally {
  await browser.close();
  await stage.stop();
}
