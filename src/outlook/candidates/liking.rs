//! Who likes what, and whose turn at the knife is over.

use crate::day::ids::{HelperId, StationId};
use crate::day::plan::Need;
use crate::day::state::State;
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::outlook::report::MoveStep;

/// Adults change from the knife or peeler every 30 to 45 minutes (common practice, no source).
const KNIFE_TURN_MIN: [i64; 2] = [30, 45];

/// How gladly a change is made: higher is gladder. It only decides between changes that are as good
/// as each other, never against minutes.
pub(super) fn liking(state: &State, now: Timestamp, steps: &[MoveStep]) -> i32 {
    let of_step = |step: &MoveStep| {
        let goes_to = likes(state, &step.helper, &step.to);
        let leaves = step
            .from
            .as_ref()
            .is_some_and(|from| likes(state, &step.helper, from));
        let turn = step
            .from
            .as_ref()
            .map_or(0, |from| knife_turn(state, now, &step.helper, from));
        2 * i32::from(goes_to) - i32::from(leaves) + turn
    };
    steps.iter().map(of_step).sum()
}

/// Whether a helper likes the work of a station.
pub(super) fn likes(state: &State, helper: &HelperId, station: &StationId) -> bool {
    let pair = state.helpers.get(helper).zip(state.stations.get(station));
    pair.is_some_and(|(helper, station)| helper.plan.likes.contains(&station.plan.work))
}

/// 0 before a turn at the knife is over, 1 when it may be, 2 when it should be; adults alone.
fn knife_turn(state: &State, now: Timestamp, id: &HelperId, at: &StationId) -> i32 {
    let pair = state.helpers.get(id).zip(state.stations.get(at));
    let Some((helper, station)) = pair else {
        return 0;
    };
    let Some(seat) = station.seats.get(id) else {
        return 0;
    };
    if !helper.plan.is_adult() || !station.plan.needs.contains(&Need::Blade) {
        return 0;
    }
    let sat = now.ms_since(seat.since);
    let over = KNIFE_TURN_MIN
        .iter()
        .filter(|minutes| sat >= **minutes * MINUTE_MS);
    over.map(|_| 1).sum()
}
