//! Days cut off at a moment.

use putby::day::event::Event;
use putby::day::time::Timestamp;
use putby::day::{Record, State, apply};
use putby::demo::play::{Played, play};
use putby::demo::{cast, day};
use putby::outlook::{Habits, Model};
use putby::pace::{Learned, Pace};

/// A day as it stood at a moment.
pub struct Cut {
    pub state: State,
    pub pace: Pace,
    pub at: Timestamp,
}

/// The day up to a moment.
pub fn cut(records: &[Record], at: Timestamp) -> Cut {
    let before: Vec<Record> = records
        .iter()
        .filter(|record| record.at <= at)
        .cloned()
        .collect();
    let mut state = State::default();
    for record in &before {
        apply(&mut state, record.at, record.command, &record.event);
    }
    let pace = Pace::of(&before, &Learned::default(), at);
    Cut { state, pace, at }
}

impl Cut {
    pub fn model(&self) -> Model {
        Model::of(&self.state, &self.pace, self.at, Habits::USUAL)
    }
}

/// The simulated family's day of a seed.
pub fn family_day(seed: u64) -> Played {
    play(day(), &cast(), seed)
}

/// When the last package of a played day was made: jars lifted, tubs in the freezer.
pub fn true_finish(records: &[Record]) -> Timestamp {
    use putby::day::event::Onward;
    let makes = |record: &&Record| match &record.event {
        Event::LoadLifted { .. } => true,
        Event::Tallied { onward, .. } | Event::PotFinished { onward, .. } => {
            matches!(onward, Onward::Finished {})
        }
        _ => false,
    };
    records
        .iter()
        .filter(makes)
        .map(|record| record.at)
        .max()
        .unwrap()
}

/// When the first box was opened.
pub fn begin(records: &[Record]) -> Timestamp {
    records.first().unwrap().at
}
