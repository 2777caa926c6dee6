//! How the foretold end moved through the day: what the board would have said, moment by moment.
//!
//! The events up to each moment are replayed and simulated on, as `putby forecast` does; what the
//! screens showed then may differ by a minute or two, since they were asked at other moments.

use crate::day::time::{MINUTE_MS, Timestamp};
use crate::day::{Event, Record, State, apply};
use crate::outlook::{Earlier, finish};
use crate::pace::{Learned, Pace};
use schemars::JsonSchema;
use serde::Serialize;

/// The most moments that are looked at; a long day is looked at less often.
const MOMENTS_MAX: i64 = 24;
/// Simulated days for each.
const RUNS: u32 = 100;
const SEED: u64 = 1;
/// The shortest time between two moments.
const EVERY_MIN: i64 = 15;

/// The foretold end over the day.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct FinishCourse {
    /// How many days were simulated for each moment.
    pub runs: u32,
    /// What would have been said, oldest first; a moment at which nothing was left to do or no end
    /// was in sight is left out.
    pub said: Vec<Earlier>,
    /// The last work of the day while it was open: a tally, a pot or a lifted load. Absent if none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ended_at: Option<Timestamp>,
    /// When work had to be over, as it was set last.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut_off_at: Option<Timestamp>,
}

/// Works it out; `learned` is what was known of the people that morning.
pub fn finish_course(records: &[Record], learned: &Learned) -> FinishCourse {
    let closed = records
        .iter()
        .position(|one| matches!(one.event, Event::DayClosed {}));
    let open = &records[..closed.unwrap_or(records.len())];
    let Some(first) = open.first() else {
        return FinishCourse::default();
    };
    let mut course = FinishCourse {
        runs: RUNS,
        ended_at: last_work(open),
        ..FinishCourse::default()
    };
    let Some(end) = course.ended_at else {
        return course;
    };
    let every = (end.ms_since(first.at) / MOMENTS_MAX).max(EVERY_MIN * MINUTE_MS);
    let (mut state, mut taken) = (State::default(), 0);
    let mut at = Timestamp(first.at.0 + every);
    while at < end {
        while let Some(record) = open.get(taken).filter(|record| record.at <= at) {
            apply(&mut state, record.at, record.command, &record.event);
            taken += 1;
        }
        let pace = Pace::of(&open[..taken], learned, at);
        if let Some(band) = finish(&state, &pace, at, RUNS, SEED) {
            course.said.push(Earlier { at, band });
        }
        at = Timestamp(at.0 + every);
    }
    for record in &open[taken..] {
        apply(&mut state, record.at, record.command, &record.event);
    }
    course.cut_off_at = state.cut_off_at;
    course
}

fn last_work(records: &[Record]) -> Option<Timestamp> {
    let is_work = |event: &Event| {
        matches!(
            event,
            Event::Tallied { .. } | Event::PotFinished { .. } | Event::LoadLifted { .. }
        )
    };
    let work = records.iter().filter(|record| is_work(&record.event));
    work.map(|record| record.at).max()
}
