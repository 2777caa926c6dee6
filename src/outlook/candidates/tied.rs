//! Who should not be asked to move.

use crate::day::ids::HelperId;
use crate::day::plan::{Nature, Thickness};
use crate::day::state::{Presence, State};
use crate::day::time::{MINUTE_MS, Timestamp};

/// So long somebody keeps a new seat before the board asks them to move again: a seat that is left
/// at once costs more in walking and washing than it gains (common practice, no source).
pub const MINIMUM_STAY_MIN: i64 = 15;

/// How firmly somebody is tied to where they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tie {
    /// Free to move.
    Free,
    /// Only to food that stands too long.
    Loose,
    /// Not at all.
    Fast,
}

/// How firmly a helper is tied.
pub(super) fn tie(state: &State, now: Timestamp, id: &HelperId) -> Tie {
    let Some(helper) = state.helpers.get(id) else {
        return Tie::Fast;
    };
    if helper.retired || helper.presence != Presence::Here || is_alone_with_heat(state, id) {
        return Tie::Fast;
    }
    let Some(seat) = &helper.station else {
        return Tie::Free;
    };
    let since = state
        .stations
        .get(seat)
        .and_then(|station| station.seats.get(id))
        .map(|seat| seat.since);
    let just_sat = since.is_some_and(|at| now.ms_since(at) < MINIMUM_STAY_MIN * MINUTE_MS);
    if just_sat && !has_nothing_to_do(state, id) {
        Tie::Loose
    } else {
        Tie::Free
    }
}

/// Whether nothing waits where a helper sits; so for somebody without a seat.
pub fn has_nothing_to_do(state: &State, id: &HelperId) -> bool {
    let seat = state
        .helpers
        .get(id)
        .and_then(|helper| helper.station.as_ref());
    seat.is_none_or(|seat| state.standing_at(seat).0 == 0)
}

/// Whether heat would be left alone: a pot that is this helper's to mind where they sit or is thick,
/// or a seat at pots or canners that are hot and nobody else sits at.
fn is_alone_with_heat(state: &State, id: &HelperId) -> bool {
    let seat = state
        .helpers
        .get(id)
        .and_then(|helper| helper.station.as_ref());
    let minds = state.pots_minded(id).into_iter();
    let must_mind = minds
        .filter(|(station, _, cooking)| {
            cooking.thickness == Thickness::Thick || seat == Some(station)
        })
        .count();
    if must_mind > 0 {
        return true;
    }
    let Some((seat, station)) = seat.and_then(|seat| Some((seat, state.stations.get(seat)?)))
    else {
        return false;
    };
    let is_hot = match station.plan.nature {
        Nature::Hand {} | Nature::Hold { .. } => false,
        Nature::Vessel { .. } => station.pots.values().any(|pot| {
            let batch = pot.batch.as_ref();
            batch.is_some_and(|batch| batch.cooking.is_some())
        }),
        Nature::Canner { .. } => state.loads_at(seat).next().is_some(),
    };
    is_hot && station.seats.len() == 1
}
