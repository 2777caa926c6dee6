//! Which adults to name beside a child.

use crate::day::ids::{HelperId, StationId};
use crate::day::plan::{Need, Verdict};
use crate::day::state::{Presence, State};
use crate::day::verdict;

/// Whom to name beside a helper at a station, the nearest first: nobody where none is needed.
/// `None` where the helper may not work at all. The day itself has the last word on each.
pub(super) fn adults(
    state: &State,
    helper: &HelperId,
    station: &StationId,
) -> Option<Vec<Option<HelperId>>> {
    let found = state.helpers.get(helper)?;
    let at = state.stations.get(station)?;
    match verdict(&state.age_rules(), &found.plan, &at.plan) {
        Verdict::Never => None,
        Verdict::Allowed => Some(vec![None]),
        Verdict::WithAdult => {
            let mut adults: Vec<(u8, &HelperId)> = state
                .helpers
                .iter()
                .filter(|(id, adult)| {
                    let here = adult.presence == Presence::Here && !adult.retired;
                    here && adult.plan.is_adult() && *id != helper
                })
                .map(|(id, adult)| (distance(state, adult.station.as_ref(), station), id))
                .collect();
            adults.sort();
            Some(adults.into_iter().map(|(_, id)| Some(id.clone())).collect())
        }
    }
}

/// 0 at the same station, 1 without a seat, 2 at a cool place, 3 with heat.
fn distance(state: &State, seat: Option<&StationId>, station: &StationId) -> u8 {
    let Some(seat) = seat else {
        return 1;
    };
    if seat == station {
        return 0;
    }
    let is_hot = state
        .stations
        .get(seat)
        .is_some_and(|station| station.plan.needs.contains(&Need::Heat));
    if is_hot { 3 } else { 2 }
}
