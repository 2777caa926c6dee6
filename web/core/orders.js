// Says in words what a command would do, for offers, pending taps and refusals. Pure.
// Invariant: every order the protocol knows has words; an unknown id shows itself.

import { t } from '../words/words.js';
import { decimal, measured } from './format.js';
import { stepAt } from './flow.js';

const nameIn = (map, id) => map?.[id]?.name ?? id ?? '';

/** Names of the things a command speaks of. */
function namesOf(view, command) {
  const { plan } = command;
  return {
    station: nameIn(view?.stations, command.station) || plan?.name || '',
    helper: nameIn(view?.helpers, command.helper) || plan?.name || '',
    product: nameIn(view?.products, command.product) || plan?.name || '',
    lot: nameIn(view?.lots, command.lot) || plan?.name || '',
    supply: nameIn(view?.supplies, command.supply) || plan?.name || '',
    resource: nameIn(view?.resources, command.resource) || plan?.name || '',
    instead: nameIn(view?.stations, command.instead_of),
    beside: nameIn(view?.helpers, command.beside ?? command.adult),
    one: nameIn(view?.helpers, command.one),
    other: nameIn(view?.helpers, command.other),
    minder: nameIn(view?.helpers, command.minder),
    pot: nameIn(view?.stations?.[command.station]?.pots, command.pot),
    to: nameIn(view?.stations, typeof command.to === 'string' ? command.to : command.to?.station),
    chore: view?.chores?.[command.chore]?.text ?? command.text ?? '',
    amount: amountOf(view, command),
  };
}

function amountOf(view, command) {
  if (command.amount === undefined) return '';
  const step = stepAt(view ?? {}, command.product, command.station);
  const lot = view?.lots?.[command.lot];
  const supply = view?.supplies?.[command.supply];
  if (supply) return `${decimal(command.amount)} ${supply.unit}`;
  const measure = step?.measure ?? lot?.measure;
  return measure ? measured(command.amount, measure) : decimal(command.amount);
}

function variantOf(command) {
  if (command.instead_of) return '.instead';
  if (command.hurry) return '.hurry';
  if (command.mixed) return '.mixed';
  if (command.order === 'confirm-jars' && !command.acid) return '.sterile';
  return command.end_early ? '.early' : '';
}

/** What the command would do: "Give the seat at Wash to Bo". */
export function orderWords(view, command) {
  const params = namesOf(view, command);
  return t(`order.${command.order}${variantOf(command)}`, params);
}
