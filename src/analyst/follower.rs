//! A day as its events make it, read from the journal as they are written.
//!
//! The events are needed anyway, and so the day's own thread, which answers taps, need not be asked
//! for a copy of its state.

use crate::day::ids::DayId;
use crate::day::{self, Record, State};
use crate::journal::{Journal, Trouble};

/// How many events are read at a time.
const READ_STEP: u32 = 1000;

/// A day so far.
pub(super) struct Follower {
    journal: Box<dyn Journal>,
    day: DayId,
    /// As it stands.
    pub state: State,
    /// All that happened.
    pub records: Vec<Record>,
}

impl Follower {
    /// Nothing is read yet.
    pub fn new(journal: Box<dyn Journal>, day: DayId) -> Follower {
        Follower {
            journal,
            day,
            state: State::default(),
            records: Vec::new(),
        }
    }

    /// Reads what is new.
    ///
    /// # Errors
    /// The journal cannot be read, or an event is damaged.
    pub fn catch_up(&mut self) -> Result<(), Trouble> {
        loop {
            let new = self.journal.read(&self.day, self.seq(), READ_STEP)?;
            if new.is_empty() {
                return Ok(());
            }
            for record in &new {
                day::apply(&mut self.state, record.at, record.command, &record.event);
            }
            self.records.extend(new);
        }
    }

    /// The number of the last event read.
    pub fn seq(&self) -> u64 {
        self.records.last().map_or(0, |record| record.seq)
    }

    /// The journal, to read other days from.
    pub fn journal(&self) -> &dyn Journal {
        &*self.journal
    }
}
