//! What the thread asks of an analysis, so that it can be tried with another.

use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{Record, State};
use crate::journal::Journal;
use crate::outlook::Outlook;

/// A day at a moment, as it is known.
pub struct Known<'a> {
    /// As it stands.
    pub state: &'a State,
    /// All that happened, oldest first.
    pub records: &'a [Record],
    /// The moment.
    pub now: Timestamp,
}

/// Makes the outlooks of one day, one after another.
pub trait Analysis {
    /// What was learned from earlier days has been corrected.
    fn learn(&mut self, day: &DayId, state: &State, journal: &dyn Journal);

    /// The outlook of this moment.
    fn outlook(&mut self, known: &Known<'_>) -> Outlook;
}

/// Begins the analysis of a day.
pub trait Analyses: Send + Sync {
    /// Of this day. `journal` has the earlier ones, to learn from.
    fn begin(&self, day: &DayId, state: &State, journal: &dyn Journal) -> Box<dyn Analysis>;
}
