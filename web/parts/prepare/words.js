// Names of produce, foods and packages in the language spoken.

import { given, known, t } from '../../words/words.js';
import { decimal, held, measured } from '../../core/format.js';
import { manner } from '../../core/manner.js';

/** A produce or food that the program knows, in words; else as it was typed. */
export function foodName(name) {
  const plain = String(name ?? '').trim().toLowerCase();
  const key = `prepare.food.${plain}`;
  return known(key) ? t(key) : given(name);
}

/** A package size: "quart jars", "bags of 6 cups". */
export function packageName(container, n = 2) {
  if (!container) return '';
  if (container.is === 'jar') return t(`prepare.jar.${container.jar}`, { n });
  return t(`prepare.${container.is}`, { n, cups: decimal((container.holds ?? 0) * 4) });
}

/** "20 lb (16 to 25 lb)": typical, then low to high where they differ. */
export function poundsRange([low, typical, high]) {
  const middle = measured(typical, 'lb');
  if (low === high) return middle;
  return t('prepare.range', { middle, low: measured(low, 'lb'), high: measured(high, 'lb') });
}

/** What one use takes, as the family said it: "2 cups". */
export const portionWords = ({ amount, unit }) =>
  held(t(`prepare.taken.${unit}`, { amount: decimal(amount), n: amount / 1000 }));

/** Quarts as a cook measures them: cups, or millilitres. */
export const cupsWords = (quarts) =>
  manner().units === 'metric' ? measured(quarts, 'qt') : measured(quarts * 4, 'cup');
