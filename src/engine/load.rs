//! How a day comes into memory, and what makes that quick the next time.
//!
//! What it keeps true: there is one way only, from the journal; a snapshot shortens it and never
//! decides anything.

use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{self, State};
use crate::journal::{Journal, Snapshot, Trouble};

/// How many events are read at a time at the start.
const READ_STEP: u32 = 1000;
/// After how many events a snapshot is kept.
const SNAPSHOT_EVERY: u64 = 500;

/// The day as the journal has it.
pub(super) struct Loaded {
    pub journal: Box<dyn Journal>,
    pub state: State,
    pub seq: u64,
    pub last_at: Timestamp,
    snapshot_seq: u64,
}

impl Loaded {
    /// The day from its journal, by way of a snapshot if one fits.
    ///
    /// # Errors
    /// The journal is damaged or cannot be read.
    pub fn load(journal: Box<dyn Journal>, day: &DayId) -> Result<Loaded, Trouble> {
        let snapshot = journal.snapshot(day, &state_version())?;
        let from_snapshot = snapshot.and_then(|snapshot| {
            let state = serde_json::from_slice(&snapshot.body).ok()?;
            Some((snapshot.seq, state))
        });
        let (snapshot_seq, state) = from_snapshot.unwrap_or_default();
        let mut loaded = Loaded {
            journal,
            state,
            // The snapshot's own event is read too, for its time.
            seq: snapshot_seq.saturating_sub(1),
            last_at: Timestamp(i64::MIN),
            snapshot_seq,
        };
        loop {
            let records = loaded.journal.read(day, loaded.seq, READ_STEP)?;
            for record in &records {
                if record.seq > snapshot_seq {
                    day::apply(&mut loaded.state, record.at, record.command, &record.event);
                }
                loaded.seq = record.seq;
                loaded.last_at = record.at;
            }
            if records.is_empty() {
                break;
            }
        }
        Ok(loaded)
    }

    /// Keeps a snapshot when one is due. If that fails the next is due as far on again.
    ///
    /// # Errors
    /// None was kept. It only saves time, so the day goes on as before.
    pub fn keep_snapshot(&mut self, day: &DayId) -> Result<(), Trouble> {
        if self.seq < self.snapshot_seq + SNAPSHOT_EVERY {
            return Ok(());
        }
        self.snapshot_seq = self.seq;
        let body =
            serde_json::to_vec(&self.state).map_err(|error| Trouble::Storage(error.to_string()))?;
        let snapshot = Snapshot {
            seq: self.seq,
            version: state_version(),
            body,
        };
        self.journal.keep_snapshot(day, &snapshot)
    }
}

/// The program's version stands beside the state's, so that a release never starts from a snapshot
/// of another, whose events may have meant something else.
fn state_version() -> String {
    format!("{}/{}", env!("CARGO_PKG_VERSION"), day::STATE_VERSION)
}
