//! How far each day is known to be on disk, kept beside the journal: a start finds out by it when the
//! disk has lost what it had confirmed, and names it.
//!
//! A log that ends early by damage looks to the database like one that was never longer; only what
//! stands outside it can tell. Losing this file costs that knowledge and nothing else.

use super::side_file;
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::journal::{JournalId, ReadOnly, Trouble, renumber};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

const NAME: &str = "reached";
/// How long the lead is told of a loss.
const TOLD_MS: i64 = 7 * 24 * 3_600_000;

/// Events that were once on disk and are there no more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Loss {
    /// Of which day.
    pub day: DayId,
    /// The first of them.
    pub from: u64,
    /// The last that is known of.
    pub to: u64,
    /// When it was found.
    pub found_at: Timestamp,
}

/// What is kept, and where.
pub struct Reached {
    folder: PathBuf,
    known: Mutex<Known>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Known {
    /// The journal it is about; a copy in its place is another.
    journal: String,
    days: BTreeMap<DayId, u64>,
    lost: Vec<Loss>,
}

impl Reached {
    /// Holds the journal at `store` against what was kept of it in `folder`. Where it has lost
    /// something, it gets another number: devices that have seen more of it find out by that.
    ///
    /// # Errors
    /// The journal cannot be read or written.
    pub fn open(
        folder: &Path,
        store: &Path,
        journal: JournalId,
        now: Timestamp,
    ) -> Result<Reached, Trouble> {
        let mut known = side_file::read(folder, NAME)
            .filter(|known: &Known| known.journal == journal.to_string())
            .unwrap_or_else(|| Known {
                journal: journal.to_string(),
                days: BTreeMap::new(),
                lost: Vec::new(),
            });
        let found = losses(&mut known.days, store, now)?;
        for Loss { day, from, to, .. } in &found {
            tracing::error!(
                %day, from, to,
                "the disk has lost events that it had confirmed; see to the disk, and look with \
                 \"putby check\" whether a copy holds more"
            );
        }
        let loses = !found.is_empty();
        known.lost.extend(found);
        if loses {
            known.journal = renumber(store)?.to_string();
            if let Err(error) = side_file::keep(folder, NAME, &known) {
                tracing::warn!(%error, "cannot keep what was lost; it is told until the next start");
            }
        }
        Ok(Reached {
            folder: folder.to_owned(),
            known: Mutex::new(known),
        })
    }

    /// Keeps how far the days are that went on since the last time.
    ///
    /// # Errors
    /// It cannot be written; what was kept stays.
    pub fn keep(&self, days: Vec<(DayId, u64)>) -> io::Result<()> {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let mut next = known.clone();
        next.days.extend(days);
        if next == *known {
            return Ok(());
        }
        side_file::keep(&self.folder, NAME, &next)?;
        *known = next;
        Ok(())
    }

    /// What was lost and is to be told.
    pub fn lost(&self, now: Timestamp) -> Vec<Loss> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let lost = known.lost.iter();
        lost.filter(|loss| now.ms_since(loss.found_at) < TOLD_MS)
            .cloned()
            .collect()
    }
}

/// What each day has lost; `days` is set to what is there.
fn losses(
    days: &mut BTreeMap<DayId, u64>,
    store: &Path,
    found_at: Timestamp,
) -> Result<Vec<Loss>, Trouble> {
    if days.is_empty() {
        return Ok(Vec::new());
    }
    let journal = ReadOnly::open(store)?;
    let mut lost = Vec::new();
    for (day, reached) in days {
        // A damaged end is told as damage.
        if let Some(end) = journal.end(day)?
            && end < *reached
        {
            lost.push(Loss {
                day: day.clone(),
                from: end + 1,
                to: *reached,
                found_at,
            });
            *reached = end;
        }
    }
    Ok(lost)
}
