// Which of the kitchen's timers are one helper's: at their seat, and the pots they mind. Pure.
// Invariant: a timer that has run out for a pot this helper minds is never left out.

/** `{here, mine}`: timers at the seat, then of pots minded from elsewhere. */
export function ownTimers(view, timers, helperId) {
  const seat = view.helpers?.[helperId]?.station;
  const minds = ({ station, pot }) => {
    const one = pot && view.stations?.[station]?.pots?.[pot];
    if (!one) return false;
    return one.minder === helperId || one.backup === helperId;
  };
  return {
    here: timers.filter(({ station }) => station === seat),
    mine: timers.filter((one) => one.station !== seat && minds(one)),
  };
}
