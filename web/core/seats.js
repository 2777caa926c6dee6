// Who may sit where, for showing only; the server decides. Pure. Invariant: the reason given for
// "never" names the very needs that forbid it by the rule for ages or the helper's own limits.

import { entriesOf } from './flow.js';

/** The household's verdict on a need at an age. */
export function verdictAt(ageRules, need, age) {
  const bands = ageRules?.[need];
  if (!bands) return age >= 18 ? 'allowed' : 'never';
  const fitting = bands.filter((band) => band.from_age <= age);
  return fitting.at(-1)?.verdict ?? 'never';
}

/**
 * Why a helper may not work at a station: `{limits, ages}`, lists of needs; empty when they may.
 */
export function whyNot(view, helper, station) {
  const needs = station.needs ?? [];
  const limits = needs.filter((need) => helper.limits?.includes(need));
  const rules = view.day?.age_rules;
  const ages = needs.filter((need) => verdictAt(rules, need, helper.age) === 'never');
  return { limits, ages };
}

/** Adults in the kitchen who could stay beside, except the helper. */
export function adultsHere(view, helperId) {
  return entriesOf(view.helpers)
    .filter(([id, helper]) => id !== helperId && helper.adult && helper.presence === 'here')
    .map(([id]) => id);
}

/** What a helper may do at a station by the view: allowed, with-adult or never. */
export const mayAt = (helper, stationId) => helper.may?.[stationId] ?? 'allowed';

/** Claim or switch, whichever fits where the helper is now. */
export function seatOrder(helper, helperId, station, beside) {
  const order = helper.station ? 'switch' : 'claim';
  const command = { order, helper: helperId, station };
  return beside ? { ...command, beside } : command;
}

/** Helpers by presence, those here first, then by name. */
export function helpersInOrder(view) {
  const rank = { here: 0, resting: 1, expected: 2, gone: 3 };
  return entriesOf(view.helpers).sort(
    ([, a], [, b]) =>
      (rank[a.presence] ?? 9) - (rank[b.presence] ?? 9) || a.name.localeCompare(b.name),
  );
}
