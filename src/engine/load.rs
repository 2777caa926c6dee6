//! How a day comes into memory, and what makes that quick the next time.
//!
//! What it keeps true: there is one way only, from the journal; a snapshot shortens it and never
//! decides anything. A damaged day is loaded as far as it is sound, to be looked at.

use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{self, State};
use crate::journal::{Journal, Snapshot, Trouble, sound_part};

/// After how many events a snapshot is kept.
const SNAPSHOT_EVERY: u64 = 500;

/// The day as the journal has it.
pub(super) struct Loaded {
    pub journal: Box<dyn Journal>,
    pub state: State,
    pub seq: u64,
    pub last_at: Timestamp,
    /// What is wrong with the event after the last: the day is only looked at then.
    pub damage: Option<Trouble>,
    snapshot_seq: u64,
}

impl Loaded {
    /// The day from its journal, by way of a snapshot if one fits.
    ///
    /// # Errors
    /// The journal cannot be read, or not one event of the day is sound.
    pub fn load(journal: Box<dyn Journal>, day: &DayId) -> Result<Loaded, Trouble> {
        let snapshot = journal.snapshot(day, &state_version())?;
        let from_snapshot = snapshot.and_then(|snapshot| {
            let state = serde_json::from_slice(&snapshot.body).ok()?;
            Some((snapshot.seq, state))
        });
        let (snapshot_seq, state) = from_snapshot.unwrap_or_default();
        let (mut state, mut last_at) = (state, Timestamp(i64::MIN));
        // The snapshot's own event is read too, for its time.
        let mut seq = snapshot_seq.saturating_sub(1);
        let damage = sound_part(&*journal, day, seq, |record| {
            if record.seq > snapshot_seq {
                day::apply(&mut state, record.at, record.command, &record.event);
            }
            (seq, last_at) = (record.seq, record.at);
        })?;
        match damage {
            Some(trouble) if seq == 0 => Err(trouble),
            damage => Ok(Loaded {
                journal,
                state,
                seq,
                last_at,
                damage,
                snapshot_seq,
            }),
        }
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
