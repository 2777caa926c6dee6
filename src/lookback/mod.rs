//! What a day was like, told from its events alone: made, times, queues, loads, waste.
//!
//! For the review after the day and for a spreadsheet. Not for the living board, which has its own
//! view. Pure: the events are replayed through [`crate::day::apply`], nothing reads a clock, and
//! all but the shares and the figure per hour are exact integers. The time taken grows with the
//! number of events. Invariant: at every station busy, starved, blocked, unstaffed, paused and
//! put-away time add up to the open time of the day; what was made is all accounted for (see [`Made`]).

mod chores;
mod depth;
mod figures;
mod finish;
mod flow;
mod fruit;
mod hours;
mod loads;
mod made;
mod moves;
mod people;
mod replay;
mod station_clock;
mod stations;
mod summary;
mod table;
mod touched;
mod tries;
mod waste;

pub use figures::{
    ChoreTold, Deepest, HelperTold, LoadTold, LookBack, Made, Packages, Rework, StationTold, Waste,
};
pub use finish::{FinishCourse, finish_course};
pub use flow::{ProductFlow, Stage};
pub use fruit::{FruitTold, Published};
pub use hours::Hour;
pub use moves::MoveTold;
pub use summary::{Summary, summary};
pub use table::csv;
pub use tries::{Advice, Try};

use crate::day::Record;

/// Looks back on a day. `records` are its events in order; an unfinished day is told up to its last
/// event. Without a day that was opened every figure is nothing.
pub fn look_back(records: &[Record]) -> LookBack {
    let mut replay = replay::Replay::default();
    for record in records {
        replay.take(record);
    }
    replay.told()
}
