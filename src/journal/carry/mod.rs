//! Everything a board keeps as one file, and back again: to move it, to keep it, to read it.
//!
//! The form is written down in `fixtures/export.md`. Both ways are streams: one command of a day is
//! in memory at a time. What it keeps true: an export is one moment of the board; what an import
//! brings is checked event by event against its digests, and all of it is taken or nothing; a day
//! that is here already is recognised, gone on with, or refused by name, never mixed. No device's
//! secret, no device's role and no lead's key is in the file, so who holds it can do nothing by it.

mod day;
mod hex_digest;
mod read;
mod tables;
mod write;

pub use read::import;
pub use write::export;

use super::Trouble;
use crate::day::ids::DayId;

/// What the first member of the file says.
const KIND: &str = "board";
/// The form that is written, and the newest that is read.
pub const VERSION: u32 = 1;

/// What an import brought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brought {
    /// Which day.
    pub day: DayId,
    /// How many events of it the file has.
    pub events: u64,
    /// How many of them were not here yet.
    pub new: u64,
}

/// Why a board could not be carried.
#[derive(Debug, thiserror::Error)]
pub enum CarryTrouble {
    /// It is no export, or it is broken off or changed.
    #[error("{why}, {place}: the file is damaged or no export; nothing was taken from it")]
    Malformed {
        /// Where.
        place: String,
        /// What does not fit.
        why: String,
    },
    /// A newer program wrote it.
    #[error(
        "the file is in form {found}, this version reads forms up to {known}: use a newer version; \
         nothing was taken from it"
    )]
    Newer {
        /// The form found.
        found: u32,
        /// The newest form known.
        known: u32,
    },
    /// Something in it is of a kind only a newer program knows.
    #[error(
        "{place}: this version does not know {what}: use a newer one; nothing was taken from it"
    )]
    Unknown {
        /// Where.
        place: String,
        /// What it is.
        what: String,
    },
    /// An event or a command is not as it was written.
    #[error("day {day:?}: event {seq} is damaged ({why}); nothing was taken from the file")]
    Damaged {
        /// Which day.
        day: String,
        /// The first event that is not sound.
        seq: u64,
        /// What does not fit.
        why: String,
    },
    /// The board has something else under the same name.
    #[error(
        "{what} is another here than in the file from number {seq} on; nothing was taken from the \
         file. Keep both: read the file into an empty data folder"
    )]
    Conflict {
        /// What has the name.
        what: String,
        /// The first number at which they differ.
        seq: u64,
    },
    /// The file could not be read or written.
    #[error("the file could not be read or written: {0}")]
    File(#[from] std::io::Error),
    /// The journal could not.
    #[error(transparent)]
    Journal(#[from] Trouble),
}

impl From<rusqlite::Error> for CarryTrouble {
    fn from(error: rusqlite::Error) -> CarryTrouble {
        CarryTrouble::Journal(error.into())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "carry_tests.rs"]
mod tests;
