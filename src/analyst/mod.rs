//! The analyst: looks ahead for each open day, beside the kitchen and never in its way.
//!
//! Each open day has a thread of its own for it, of low priority. It reads the day's events
//! from the journal as they are written, works out what is to come, and shows that to every device
//! by the day's feed. What it keeps true: no tap waits for it, not even for a glance at the day's
//! state; it writes nothing, so stopping it loses nothing; when it fails, the day goes on without an
//! outlook. Not for the methods: those are in [`crate::pace`] and [`crate::outlook`].

mod ahead;
mod analysis;
mod earlier_days;
mod follower;
mod lessons;
mod low_priority;
mod thread;
mod turns;

pub use ahead::Ahead;
pub use analysis::{Analyses, Analysis, Known};
pub use lessons::{Taught, known_that_morning, taught};
pub use low_priority::give_way;

use crate::clock::Clock;
use crate::config::Rhythm;
use crate::day::ids::DayId;
use crate::engine::{Attendant, Feed};
use crate::journal::Journals;
use crate::measures::Measures;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

/// The analysis of all days of a server.
pub struct Analyst {
    journals: Arc<dyn Journals>,
    clock: Arc<dyn Clock>,
    rhythm: Rhythm,
    analyses: Arc<dyn Analyses>,
    measures: Arc<Measures>,
    threads: Mutex<BTreeMap<DayId, JoinHandle<()>>>,
}

impl Analyst {
    /// Nothing is analysed yet.
    pub fn new(
        journals: Arc<dyn Journals>,
        clock: Arc<dyn Clock>,
        rhythm: Rhythm,
        analyses: Arc<dyn Analyses>,
    ) -> Analyst {
        Analyst {
            journals,
            clock,
            rhythm,
            analyses,
            measures: Arc::default(),
            threads: Mutex::default(),
        }
    }

    /// The same, measured by `measures`.
    pub fn measured_by(mut self, measures: Arc<Measures>) -> Analyst {
        self.measures = measures;
        self
    }
}

impl Attendant for Analyst {
    fn attend(&self, day: &DayId, feed: &Arc<Feed>) {
        let mut threads = self.threads.lock().unwrap_or_else(PoisonError::into_inner);
        threads.retain(|_, thread| !thread.is_finished());
        if threads.contains_key(day) {
            return;
        }
        let work = thread::Work {
            day: day.clone(),
            feed: Arc::clone(feed),
            journals: Arc::clone(&self.journals),
            clock: Arc::clone(&self.clock),
            rhythm: self.rhythm,
            analyses: Arc::clone(&self.analyses),
            measures: Arc::clone(&self.measures),
        };
        let started = std::thread::Builder::new()
            .name(format!("ahead {day}"))
            .spawn(move || work.run());
        match started {
            Ok(thread) => {
                threads.insert(day.clone(), thread);
            }
            Err(error) => tracing::warn!(%day, %error, "nothing looks ahead for this day"),
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "analyst_tests.rs"]
mod tests;
