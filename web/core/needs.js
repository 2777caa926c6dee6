// What is asked for most at a station: the supplies that its work draws, then what every kitchen
// runs out of. Pure. Invariant: nothing is offered twice under two names.

import { entriesOf } from './flow.js';

/** What can be asked for anywhere, with the supply it is the plain name of. */
const USUAL = [
  ['jars', /jar/i],
  ['lids', /\blids?\b/i],
  ['bowls', /bowl/i],
  ['box', /\bbox(es)?\b/i],
  ['spill', null],
  ['adult', null],
];

/** Supplies drawn by any product at a station, those that run low first. */
export function drawnAt(view, stationId) {
  const drawn = entriesOf(view.products).flatMap(([, product]) =>
    (product.route ?? [])
      .filter((step) => step.station === stationId)
      .flatMap((step) => Object.keys(step.draws ?? {})),
  );
  return [...new Set(drawn)]
    .filter((id) => view.supplies?.[id])
    .sort((a, b) => Number(Boolean(view.supplies[b].low)) - Number(Boolean(view.supplies[a].low)));
}

const PICTURES = [
  ['jars', /jar|frasco/i],
  ['lids', /lid|tapa/i],
  ['tubs', /tub|bag|bolsa/i],
  ['liquid', /syrup|juice|water|vinegar|acid|almíbar|jugo|agua|vinagre/i],
];

/** The picture for a supply by its name. */
export const pictureOf = (name) => PICTURES.find(([, words]) => words.test(name))?.[0] ?? 'box';

/** What to offer: `[{supply, name, picture, low}]` of the station, then `[{usual, picture}]`. */
export function needsAt(view, stationId) {
  const supplies = drawnAt(view, stationId).map((id) => ({
    supply: id,
    name: view.supplies[id].name,
    picture: pictureOf(view.supplies[id].name),
    low: Boolean(view.supplies[id].low),
  }));
  const said = (words) => words && supplies.some(({ name }) => words.test(name));
  const usual = USUAL.filter(([, words]) => !said(words)).map(([one]) => ({
    usual: one,
    picture: one,
  }));
  return [...supplies, ...usual];
}
