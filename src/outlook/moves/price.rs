//! What a change must gain before it is proposed.

use crate::day::ids::HelperId;
use crate::day::state::{SetAside, State};
use crate::day::time::Timestamp;
use crate::outlook::candidates::Candidate;

/// The least gain in minutes for which a change is proposed.
///
/// A change that rescues food may cost as much as another must gain. One that was set aside stays
/// away until its helpers have changed seats, an hour has passed, or it gains half as much again
/// and five minutes more than it did when it was not wanted.
pub fn price(state: &State, now: Timestamp, candidate: &Candidate, least_gain_min: f64) -> f64 {
    let usual = if candidate.rescues.is_some() {
        -least_gain_min
    } else {
        least_gain_min
    };
    match holds(state, now, candidate) {
        Some(aside) => {
            let was = f64::from(aside.gain_min);
            usual.max(was * 1.5).max(was + 5.0)
        }
        None => usual,
    }
}

/// How a change was set aside, if that still holds.
fn holds<'a>(state: &'a State, now: Timestamp, candidate: &Candidate) -> Option<&'a SetAside> {
    let aside = state.set_aside.get(&candidate.id())?;
    let as_then = |helper: &HelperId| !has_changed_since(state, helper, aside.at);
    let same = candidate.steps.iter().all(|step| as_then(&step.helper));
    (aside.counts_at(now) && same).then_some(aside)
}

/// Whether a helper has taken or left a seat since a moment.
fn has_changed_since(state: &State, id: &HelperId, at: Timestamp) -> bool {
    let Some(helper) = state.helpers.get(id) else {
        return true;
    };
    let seat = helper
        .station
        .as_ref()
        .and_then(|station| state.stations.get(station)?.seats.get(id));
    // Without a seat only coming and resting leave a moment; the name of the move says the rest,
    // since a switch names the seat it starts from.
    seat.map_or(helper.since, |seat| seat.since) > at
}
