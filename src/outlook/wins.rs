//! What helps without moving anybody: how the canners are loaded, hot water, boxes, a count.

mod boxes;
mod canners;
mod count;
mod first_load;
mod water;

pub use count::count_worth_it;
pub use first_load::{FirstLoad, first_load, with_first};

use super::Settings;
use super::model::Model;
use super::report::{LastBox, Win};
use crate::day::ids::LotId;
use crate::day::state::State;
use crate::day::time::Timestamp;
use crate::pace::Pace;
use std::collections::BTreeMap;

/// Minutes that a gain without moving anybody must have: it costs nobody anything.
pub const LEAST_FREE_GAIN_MIN: f64 = 1.0;

/// Gains that are free now, most urgent first: what can be started at once, then boxes, then what
/// is to be kept in mind for the next load.
pub fn wins(
    state: &State,
    pace: &Pace,
    model: &Model,
    last_box: &BTreeMap<LotId, LastBox>,
    now: Timestamp,
    settings: &Settings,
) -> Vec<Win> {
    if model.is_done() {
        return Vec::new();
    }
    let rule = settings.rule();
    let mut wins = canners::wins(state, model, rule, settings.seed);
    wins.extend(water::wins(state, pace, model, now, settings));
    wins.extend(boxes::wins(state, model, last_box, now));
    wins.extend(count_worth_it(state, model));
    wins.sort_by_key(urgency);
    wins
}

/// The lower, the sooner.
fn urgency(win: &Win) -> u8 {
    match win {
        Win::StartNow { .. } => 0,
        Win::HeatWater { .. } => 1,
        Win::OpenBox { .. } => 2,
        Win::StopBoxes { .. } => 3,
        Win::Count { .. } => 4,
        Win::ShortLoadFirst { .. } => 5,
        Win::WaitFor { .. } => 6,
    }
}
