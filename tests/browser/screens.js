// Takes a picture of every screen at every size, by day and by lamp light, and runs the
// accessibility check on each. Usage: node screens.js BASE DAY OUT [--only=name] [--size=tablet]
// [--scheme=light] [--helper=ID] [--adult=ID] [--free=ID] [--outlook=FILE]; PUTBY_LEAD_KEY makes
// the device the lead's, FILE is an outlook to show in the place of the board's own

import { mkdir, readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { looksAhead, sampleOutlook } from './ahead.js';
import { launch, pageOf, SIZES } from './browser.js';

const [base, day, out, ...flags] = process.argv.slice(2);
if (!base || !day || !out) {
  console.error(
    'Usage: node screens.js BASE DAY OUT [--only=name] [--helper=ID] [--adult=ID] ' +
      '[--free=ID] [--outlook=FILE]\n  PUTBY_LEAD_KEY: the key that makes this device lead',
  );
  process.exit(2);
}
const flag = (name) => flags.find((one) => one.startsWith(`--${name}=`))?.slice(name.length + 3);
const helper = flag('helper') ?? 'wren';
const adult = flag('adult') ?? 'maren';
const outlook = flag('outlook') && (await sampleOutlook(flag('outlook')));
const at = (screen) => `#/day/${day}/${screen}`;
const click = (name) => async (page) => {
  await page.getByRole('button', { name }).first().click();
};

const open = (index) => async (page) => {
  await page.locator('.box-open').nth(index).click();
};
const firstThing = (name) => async (page) => {
  await click(name)(page);
  await page.locator('.thing-head').first().click();
};

const SCREENS = [
  { name: 'days', hash: '#/' },
  { name: 'begin', hash: '#/begin' },
  { name: 'join', hash: at('join') },
  { name: 'helper', hash: at('helper'), as: helper },
  { name: 'helper-pots', hash: at('helper'), as: adult },
  { name: 'helper-free', hash: at('helper'), as: flag('free') ?? 'tove' },
  { name: 'lead', hash: at('lead') },
  { name: 'lead-ahead', hash: at('lead'), then: click(/^(Done about|Nothing is left)/) },
  { name: 'lead-station', hash: at('lead'), then: open(0) },
  { name: 'lead-canner', hash: at('lead'), then: click(/^Canners$/) },
  { name: 'lead-person', hash: at('lead'), then: click(/Silas/) },
  { name: 'lead-day', hash: at('lead'), then: click('Day and fruit') },
  { name: 'wall', hash: at('wall') },
  { name: 'set-up', hash: at('set-up') },
  { name: 'set-up-stations', hash: at('set-up'), then: firstThing(/^Stations/) },
  { name: 'set-up-products', hash: at('set-up'), then: firstThing(/^Products/) },
  { name: 'set-up-ages', hash: at('set-up'), then: click('Rule for ages') },
  { name: 'look-back', hash: at('look-back') },
];

const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const browser = await launch();
let bad = 0;

async function check(page, label) {
  const { violations } = await page.evaluate(async () =>
    globalThis.axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    }),
  );
  for (const { id, nodes } of violations) {
    bad += 1;
    console.log(
      `${label}: ${id} (${nodes.length}) ${nodes
        .slice(0, 2)
        .map((node) => `${node.target} ${node.any[0]?.message ?? ''}`)
        .join(' | ')}`,
    );
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (wide > 0) {
    bad += 1;
    console.log(`${label}: scrolls sideways by ${wide}px`);
  }
  const unsaid = await page.evaluate(() =>
    (document.body.innerText.match(/\b[a-z]+(-[a-z]+)*\.[a-z]+(-[a-z]+)*\b/g) ?? []).slice(0, 5),
  );
  if (unsaid.length) {
    bad += 1;
    console.log(`${label}: words missing: ${unsaid.join(' ')}`);
  }
}

async function shoot(screen, size, scheme) {
  const label = `${screen.name}-${size}-${scheme}`;
  const { page, context, faults } = await pageOf(browser, base, { size, scheme });
  await context.addInitScript({ content: axe });
  await context.addInitScript(
    ([id, who]) => {
      localStorage.setItem(`putby.helper.${id}`, who);
      localStorage.setItem('putby.sound', 'off');
    },
    [day, screen.as ?? helper],
  );
  if (outlook) await looksAhead(page, outlook);
  const key = process.env.PUTBY_LEAD_KEY;
  if (key) await context.request.post(`${base}/api/me`, { data: { lead_key: key } });
  await page.goto(`${base}/${screen.hash}`);
  await page.waitForSelector('h1');
  await page.waitForFunction(() => !/One moment/.test(document.body.innerText), null, {
    timeout: 8000,
  });
  if (screen.name === 'look-back') await page.waitForSelector('.chart canvas');
  if (screen.then) await screen.then(page);
  await page.screenshot({ path: `${out}/${label}.png`, fullPage: size === 'phone' });
  await check(page, label);
  for (const fault of faults) {
    bad += 1;
    console.log(`${label}: ${fault}`);
  }
  await context.close();
}

await mkdir(out, { recursive: true });
const only = flag('only');
for (const screen of SCREENS.filter((one) => !only || one.name.startsWith(only))) {
  for (const size of Object.keys(SIZES).filter((one) => !flag('size') || flag('size') === one)) {
    for (const scheme of ['light', 'dark'].filter(
      (one) => !flag('scheme') || flag('scheme') === one,
    )) {
      await shoot(screen, size, scheme).catch((error) => {
        bad += 1;
        console.log(`${screen.name}-${size}-${scheme}: ${error.message.split('\n')[0]}`);
      });
    }
  }
}
await browser.close();
console.log(bad ? `${bad} things to mend` : 'every screen is clean');
process.exit(bad ? 1 : 0);
