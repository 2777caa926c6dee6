// What a helper is asked to do now, in short sentences to be read aloud. Pure; words come from
// words/. Invariant: what is said is what the screen shows, and nothing is said for certain that
// the board does not know.

import { t } from '../words/words.js';
import { carried, listed } from './format.js';
import { stepAt, waitingAt } from './flow.js';
import { choicesFor, moveFor } from './outlook.js';
import { mayAt } from './seats.js';

const nameOf = (map, id) => map?.[id]?.name ?? id ?? '';

function ofMove(view, move, helperId) {
  const mine = move.steps.find(({ helper }) => helper === helperId);
  const beside = mine.beside && t('move.own-beside', { adult: nameOf(view.helpers, mine.beside) });
  return [t('say.move', { to: nameOf(view.stations, mine.to) }), beside].filter(Boolean);
}

function ofSeat(view, stationId, one) {
  const station = view.stations[stationId];
  const there = t('say.there', { station: station.name });
  if (station.nature?.is === 'vessel') return [there, t('say.pots')];
  if (station.nature?.is === 'canner') return [there, t('say.canner')];
  if (!one) return [there, t('say.nothing')];
  const name = stepAt(view, one.product, stationId)?.carrier.name ?? '';
  return [
    there,
    t('say.tap', { carrier: name }),
    t('say.waiting', { carriers: carried(one.carriers, name) }),
  ];
}

function ofChoice(view, ahead, helperId) {
  const good = choicesFor(view, ahead, helperId)
    .filter(({ station }) => mayAt(view.helpers[helperId], station) !== 'never')
    .slice(0, 2)
    .map(({ station }) => nameOf(view.stations, station));
  return [t('say.choose'), good.length > 0 && t('say.good', { stations: listed(good) })].filter(
    Boolean,
  );
}

/**
 * What to say: `{asks, says}`. `asks` names what is asked and changes only when something new is;
 * `says` are the sentences. `one` is what waits at the helper's seat.
 */
export function helperSays({ view, ahead, helperId, moves = [], one, over }) {
  const helper = view.helpers[helperId];
  if (helper.presence === 'resting')
    return { asks: `rest ${over ? 'over' : ''}`, says: [t(over ? 'say.rested' : 'say.rest')] };
  if (helper.presence !== 'here') return { asks: 'arrive', says: [t('say.arrive')] };
  const move = moveFor(moves, helperId);
  if (move) return { asks: `move ${move.id}`, says: ofMove(view, move, helperId) };
  if (!helper.station) return { asks: 'choose', says: ofChoice(view, ahead, helperId) };
  const waits = one ?? waitingAt(view.stations[helper.station])[0];
  const asks = `seat ${helper.station} ${waits ? 'work' : 'none'}`;
  return { asks, says: ofSeat(view, helper.station, waits) };
}
