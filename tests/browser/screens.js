// Takes a picture of every screen and state at every size, by day and by lamp light, and looks for
// clipped text, overlap, sideways scrolling, missing words and errors: one command, no server needed.
// Usage: node screens.js OUT [--lang=es] [--only=name] [--size=tablet] [--scheme=light]

import { mkdir } from 'node:fs/promises';
import { launch, SIZES } from './browser.js';
import { spoilt } from './spoilt.js';
import { PLACES, tourStage, visit } from './tour.js';

const [out, ...flags] = process.argv.slice(2);
if (!out || out.startsWith('--')) {
  console.error(
    'Usage: node screens.js OUT [--lang=es] [--only=name] [--size=tablet] [--scheme=light]',
  );
  process.exit(2);
}
const flag = (name) => flags.find((one) => one.startsWith(`--${name}=`))?.slice(name.length + 3);
const chosen = (list, name) => list.filter((one) => !flag(name) || flag(name) === one);
const places = PLACES.filter(({ name }) => !flag('only') || name.startsWith(flag('only')));
let bad = 0;

function tell(label, words) {
  bad += 1;
  console.log(`${label}: ${words}`);
}

/** Both schemes of one place and size, on one page. */
async function shoot(browser, stage, place, size) {
  const schemes = chosen(['light', 'dark'], 'scheme');
  const label = `${place.name}-${size}`;
  const { page, context, faults } = await visit(browser, stage, place, {
    size,
    scheme: schemes[0],
    lang: flag('lang'),
  });
  try {
    for (const colorScheme of schemes) {
      await page.emulateMedia({ colorScheme });
      await page.screenshot({
        path: `${out}/${label}-${colorScheme}.png`,
        fullPage: size === 'phone' && !(await page.locator('dialog[open]').count()),
      });
    }
    for (const words of [...(await page.evaluate(spoilt)), ...faults]) tell(label, words);
  } finally {
    await context.close();
  }
}

await mkdir(out, { recursive: true });
const stage = await tourStage();
const browser = await launch();
try {
  for (const place of places)
    for (const size of chosen(Object.keys(SIZES), 'size'))
      await shoot(browser, stage, place, size).catch((error) =>
        tell(`${place.name}-${size}`, error.message.split('\n')[0]),
      );
} finally {
  await browser.close();
  await stage.stop();
}
console.log(bad ? `${bad} things to mend` : 'every screen is clean');
process.exit(bad ? 1 : 0);
