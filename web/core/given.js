// A view as people of another language read it: names that the program itself gave, and chores
// that it raised, in the language spoken. Pure. Invariants: what people typed stays theirs; ids
// and what carriers are called, by which pictures are found, stay as they are; what a patch did not
// touch is not made anew.

import { given, spokenNow, t } from '../words/words.js';

const isObject = (value) => value !== null && typeof value === 'object';
const READ = ['name', 'unit'];
const KEPT = ['helpers', 'carrier', 'notes', 'chores'];

const none = (language) => ({ language, made: new WeakMap(), views: new WeakMap() });
let known = none('en');

function inWords(value) {
  if (!isObject(value)) return value;
  if (known.made.has(value)) return known.made.get(value);
  const out = Array.isArray(value) ? [] : {};
  let same = true;
  for (const [key, inside] of Object.entries(value)) {
    const read = READ.includes(key) && typeof inside === 'string';
    out[key] = read ? given(inside) : KEPT.includes(key) ? inside : inWords(inside);
    if (out[key] !== inside) same = false;
  }
  const made = same ? value : out;
  known.made.set(value, made);
  return made;
}

/** A chore asked for by one of the usual buttons, by the id that button gave it. */
export const ASKED = /^ask-([a-z]+)-/;

function choreWords(view, id, chore) {
  const { kind } = chore;
  const asked = ASKED.exec(id)?.[1];
  if (asked) return t(`ask.${asked}`);
  const pot = view.stations?.[kind?.station]?.pots?.[kind?.pot]?.name;
  switch (kind?.about) {
    case 'scraps':
      return t('chore.scraps');
    case 'dirty-pot':
      return pot ? t('chore.dirty-pot', { pot }) : chore.text;
    case 'unminded-pot':
      return pot ? t('chore.unminded-pot', { pot }) : chore.text;
    case 'supply-low': {
      const supply = view.supplies?.[kind.supply]?.name;
      return supply ? t('chore.supply-low', { supply }) : chore.text;
    }
    case 'next-box': {
      const lot = view.lots?.[kind.lot]?.name;
      const product = view.products?.[kind.product]?.name;
      return lot && product ? t('chore.next-box', { lot, product }) : chore.text;
    }
    case 'shelve':
      return t('chore.shelve', { n: chore.text.match(/\d+/)?.[0] });
    default:
      return chore.text;
  }
}

/** The view in the language spoken. */
export function inTongue(view) {
  if (!view) return view;
  if (known.language !== spokenNow()) known = none(spokenNow());
  if (!known.views.has(view)) known.views.set(view, spoken(view));
  return known.views.get(view);
}

function spoken(view) {
  const named = spokenNow() === 'en' ? view : inWords(view);
  if (!view.chores) return named;
  const chores = Object.fromEntries(
    Object.entries(view.chores).map(([id, chore]) => [
      id,
      { ...chore, text: choreWords(named, id, chore) },
    ]),
  );
  return { ...named, chores };
}
