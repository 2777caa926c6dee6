//! The demonstration: an invented family of simulated helpers who work a whole day on the board.
//!
//! Each helper sees only what a device sees, the live view, and only gives commands a device can
//! give. What somebody does next is decided in [`mind`] from a view, a moment and a seeded random
//! source, without any network; [`play`] drives a day by that alone, [`device`] does the same over
//! WebSocket and HTTP. Not a forecast and not the flow's rules: people here know no more than what
//! they see, and the rules refuse them like anybody. The invariant: the same seed plays the same
//! day.

mod boil;
mod chores;
mod closing;
mod coming;
pub mod device;
mod duties;
mod happenings;
mod http;
mod live_view;
mod loads;
mod look;
pub mod mind;
pub mod people;
pub mod play;
mod rests;
mod seats;
pub mod sight;
mod stage;
mod work;

pub use stage::{Stage, open_day_id};

use crate::day::plan::DayPlan;
use people::Cast;

const DAY: &str = include_str!("../../fixtures/demo/day.json");
const PEOPLE: &str = include_str!("../../fixtures/demo/people.json");

/// The day the family has planned.
///
/// # Panics
/// Never: the file is compiled in and the tests read it.
pub fn day() -> DayPlan {
    serde_json::from_str(DAY).expect("fixtures/demo/day.json is a plan")
}

/// The family and how it behaves.
///
/// # Panics
/// Never: the file is compiled in and the tests read it.
pub fn cast() -> Cast {
    serde_json::from_str(PEOPLE).expect("fixtures/demo/people.json is a cast")
}
