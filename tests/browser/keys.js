// A walk through a screen with the Tab key alone. Not for what single keys do; keyboard.test.js has
// that.

const MOST_STEPS = 400;
/** A date has a stop for each of its parts and one for its calendar; more on one spot is a trap. */
const MOST_ON_ONE = 6;

/** Numbers everything that can have the focus, in the order it is written; gives their words. */
const numbered = (page) =>
  page.evaluate(() => {
    const place = document.querySelector('dialog[open]') ?? document;
    const able = 'a[href],button:enabled,input:enabled,select:enabled,textarea:enabled,summary';
    const seen = (one) =>
      one.checkVisibility({ visibilityProperty: true }) && one.getClientRects().length > 0;
    // Of one group of radio buttons Tab comes to one.
    const groups = new Set();
    const stops = [...place.querySelectorAll(able)].filter((one) => {
      if (!seen(one)) return false;
      if (one.type !== 'radio') return true;
      const checked = place.querySelector(`input[name="${one.name}"]:checked`);
      const first = !groups.has(one.name);
      groups.add(one.name);
      return checked ? checked === one : first;
    });
    stops.forEach((one, n) => {
      one.dataset.stop = n;
    });
    const words = (one) => one.ariaLabel || one.textContent.trim().slice(0, 40) || one.tagName;
    return stops.map(words);
  });

/** What has the focus: its number, and whether a person can see that it has. */
const focused = (page) =>
  page.evaluate(() => {
    const one = document.activeElement;
    if (!one || one === document.body) return null;
    // The frame of a whole box is drawn by what its button spreads over it.
    const framed = [undefined, '::after'].some((part) => {
      const { outlineStyle, outlineWidth } = getComputedStyle(one, part);
      return outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2;
    });
    const box = one.getBoundingClientRect();
    const inView =
      box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
    // WCAG 2.2, 2.4.11: not wholly behind something else.
    const points = [0.02, 0.25, 0.5, 0.75, 0.98].flatMap((x) =>
      [0.05, 0.5, 0.95].map((y) => [box.left + box.width * x, box.top + box.height * y]),
    );
    const free = points.some(([x, y]) => {
      const top = document.elementFromPoint(x, y);
      return top && (one.contains(top) || top.contains(one) || top.closest('label')?.control === one);
    });
    return {
      stop: one.dataset.stop === undefined ? null : Number(one.dataset.stop),
      words: one.ariaLabel || one.textContent.trim().slice(0, 40) || one.tagName,
      seen: framed && inView && free,
    };
  });

/** Walks once round with Tab; gives what it missed, what it could not show and where it hung. */
export async function walk(page) {
  await page.evaluate(() => document.activeElement?.blur());
  const names = await numbered(page);
  const order = [];
  const unseen = [];
  let same = 0;
  for (let step = 0; step < MOST_STEPS; step += 1) {
    await page.keyboard.press('Tab');
    const now = await focused(page);
    if (!now || now.stop === null) {
      if (order.length >= names.length) break;
      continue;
    }
    same = now.stop === order.at(-1) ? same + 1 : 0;
    if (same > 0 && same < MOST_ON_ONE) continue;
    if (order.includes(now.stop)) break;
    order.push(now.stop);
    if (!now.seen) unseen.push(now.words);
  }
  const missed = names.filter((_, n) => !order.includes(n));
  const start = order.indexOf(Math.min(...order));
  const turned = [...order.slice(start), ...order.slice(0, start)];
  const jumps = turned.filter((stop, n) => n > 0 && stop < turned[n - 1]).map((n) => names[n]);
  return { missed, unseen, jumps };
}
