//! The journal: every event of every day, in order, on disk before anyone hears of it.
//!
//! Not for rules and not for views: it stores and finds, nothing more. What it keeps true:
//! events of a day are numbered 1, 2, 3 ... without gaps; each carries a digest chained to the one
//! before, so a changed or missing event is found and named; times within a day never go back; a
//! command's id is stored once. The trait says nothing about files or processes, so a shared log
//! can take it when many kitchens need several servers.

pub mod carry;
mod checkpoint;
mod copy;
mod corrections;
mod devices;
mod digest;
mod doors;
mod forward;
mod identity;
mod probe;
mod read_only;
mod record;
mod room;
mod rows;
mod schema;
mod shelf;
mod sound;
mod sqlite;

pub use checkpoint::checkpoint;
pub use copy::{Identity, copy};
pub use devices::{DeviceBook, KeptDevice};
pub use digest::Digest;
pub use doors::DoorBook;
pub use forward::forward_journal;
pub use identity::{JournalId, renumber};
pub use probe::probe;
pub use read_only::{Head, ReadOnly, fold_log, log_of};
pub use room::try_to_write;
pub use schema::{COPIES, FORM, sync_folder};
pub use shelf::{ShelfBook, ShelfEntry};
pub use sound::sound_part;
pub use sqlite::{SqliteJournal, SqliteJournals};

use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{Event, Record, Role};
use uuid::Uuid;

/// Events of one command, on their way into the journal.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The command's id.
    pub command: Uuid,
    /// Digest of what the command said, to tell a repeat from another order under the same id.
    pub body: Digest,
    /// When it was decided.
    pub at: Timestamp,
    /// Who ordered.
    pub role: Role,
    /// What happened.
    pub events: Vec<Event>,
}

/// What became of a command that was accepted earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outcome {
    /// The number of its last event.
    pub seq: u64,
    /// When it was decided.
    pub at: Timestamp,
    /// Digest of what it said.
    pub body: Digest,
}

/// The state after an event, kept to start quickly. Never the truth: the events are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Snapshot {
    /// The event it was taken after.
    pub seq: u64,
    /// Which form the state was written in.
    pub version: String,
    /// The state.
    pub body: Vec<u8>,
}

/// What a list of days shows of one, folded from its opening, its changes of name and its close.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heading {
    /// What the day is called.
    pub name: String,
    /// Its civil date.
    pub date: String,
    /// When it was opened.
    pub opened_at: Timestamp,
    /// When it was closed, if it is.
    pub closed_at: Option<Timestamp>,
    /// The number of its last event.
    pub seq: u64,
    /// When that happened.
    pub last_at: Timestamp,
}

/// Where events are kept. One value is used by one thread; [`Journals`] opens as many as needed.
pub trait Journal: Send {
    /// Writes the events of all `entries`, in order and all or nothing, and returns the number of
    /// the last. When it returns they are on disk.
    ///
    /// # Errors
    /// The day has moved past `expected`, time would go back, a command is stored already, or the
    /// disk failed. Nothing is written then, as far as can be known: read the end again.
    fn append(&mut self, day: &DayId, expected: u64, entries: &[Entry]) -> Result<u64, Trouble>;

    /// Up to `limit` events after `after`, verified against the chain; none past the last.
    ///
    /// # Errors
    /// An event is damaged, of an unknown kind, or cannot be read.
    fn read(&self, day: &DayId, after: u64, limit: u32) -> Result<Vec<Record>, Trouble>;

    /// What became of a command.
    ///
    /// # Errors
    /// It cannot be read.
    fn find(&self, day: &DayId, command: Uuid) -> Result<Option<Outcome>, Trouble>;

    /// The day that a command opened, whatever it is called.
    ///
    /// # Errors
    /// It cannot be read.
    fn opened_by(&self, command: Uuid) -> Result<Option<DayId>, Trouble>;

    /// All days, by id.
    ///
    /// # Errors
    /// They cannot be read.
    fn days(&self) -> Result<Vec<(DayId, Heading)>, Trouble>;

    /// Whether the day has any event.
    ///
    /// # Errors
    /// It cannot be read.
    fn has(&self, day: &DayId) -> Result<bool, Trouble>;

    /// The newest moment of any day and of the shelf.
    ///
    /// # Errors
    /// It cannot be read.
    fn last_at(&self) -> Result<Option<Timestamp>, Trouble>;

    /// The newest snapshot in this version whose event still has the digest it had then.
    ///
    /// # Errors
    /// It cannot be read. A snapshot that does not fit is none, not an error.
    fn snapshot(&self, day: &DayId, version: &str) -> Result<Option<Snapshot>, Trouble>;

    /// Keeps a snapshot in place of the day's earlier one.
    ///
    /// # Errors
    /// There is no such event, or the disk failed.
    fn keep_snapshot(&mut self, day: &DayId, snapshot: &Snapshot) -> Result<(), Trouble>;

    /// Reads a whole day against its chain and its commands, and returns how many events it has.
    ///
    /// # Errors
    /// The first event that is not as it was written, by its number.
    fn verify(&self, day: &DayId) -> Result<u64, Trouble>;

    /// Every correction of what was learned, in the order in which they were said.
    ///
    /// # Errors
    /// They cannot be read.
    fn corrections(&self) -> Result<Vec<KeptCorrection>, Trouble>;

    /// Keeps a correction, unless its id is known: then nothing changes. Gives the one that is kept
    /// under the id; when it returns that one is on disk.
    ///
    /// # Errors
    /// The disk failed.
    fn keep_correction(&mut self, said: &KeptCorrection) -> Result<KeptCorrection, Trouble>;
}

/// What the lead said of what was learned. The journal keeps the words; it does not read them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptCorrection {
    /// The id it came with.
    pub id: Uuid,
    /// When it was said.
    pub at: Timestamp,
    /// What was said, as JSON.
    pub body: String,
}

/// Opens journals onto the same store.
pub trait Journals: Send + Sync {
    /// Opens one.
    ///
    /// # Errors
    /// The store cannot be opened, or a newer program wrote it.
    fn open(&self) -> Result<Box<dyn Journal>, Trouble>;

    /// Which journal they are of.
    ///
    /// # Errors
    /// As [`Journals::open`].
    fn id(&self) -> Result<JournalId, Trouble>;
}

/// Why the journal could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// Somebody else wrote in between.
    #[error("the day is at event {found}, not at {expected}")]
    WrongSeq {
        /// Where the writer thought the day was.
        expected: u64,
        /// Where it is.
        found: u64,
    },
    /// A moment before the last one.
    #[error("the last event was at {last} ms, this one would be at {at} ms")]
    TimeWentBack {
        /// The last moment on record.
        last: i64,
        /// The moment offered.
        at: i64,
    },
    /// An event is not as it was written.
    #[error(
        "day {day:?}: event {seq} is damaged ({why}). Everything before it is sound. Stop the board \
         and put its newest sound copy in place with `putby restore --newest`, or keep this one and \
         begin another day"
    )]
    Damaged {
        /// Which day.
        day: String,
        /// The first event that is not sound.
        seq: u64,
        /// What does not fit.
        why: String,
    },
    /// A newer program wrote this event.
    #[error("day {day:?}: event {seq} is of a kind this version does not know: use a newer one")]
    UnknownEvent {
        /// Which day.
        day: String,
        /// Which event.
        seq: u64,
    },
    /// A newer program wrote this store.
    #[error(
        "the journal is in form {found}, this version knows forms up to {known}: use a newer \
         version; the file was not touched"
    )]
    Newer {
        /// The form found.
        found: i64,
        /// The newest form known.
        known: i64,
    },
    /// The file itself is damaged, or it is none of ours.
    #[error(
        "the journal's file is damaged ({0}): look at it with `putby check`, and put the newest \
         sound copy in its place with `putby restore --newest`"
    )]
    Malformed(String),
    /// Writing reached the disk's cache but not surely the disk; only a restart shows what is
    /// really there, because a second sync that succeeds proves nothing.
    #[error("the disk did not confirm what was written: {0}")]
    SyncFailed(String),
    /// There is no room on the disk; nothing was written.
    #[error("the disk is full: {0}")]
    Full(String),
    /// The disk does not take writes; nothing was written, and what is there can be read.
    #[error("the disk takes no writes: {0}")]
    Unwritable(String),
    /// The disk or the database could not.
    #[error("the journal could not be read or written: {0}")]
    Storage(String),
}

impl Trouble {
    /// Whether what is stored cannot be used as it is, however often it is read.
    pub fn is_damage(&self) -> bool {
        match self {
            Trouble::Damaged { .. } | Trouble::UnknownEvent { .. } | Trouble::Malformed(_) => true,
            Trouble::WrongSeq { .. }
            | Trouble::TimeWentBack { .. }
            | Trouble::Newer { .. }
            | Trouble::SyncFailed(_)
            | Trouble::Full(_)
            | Trouble::Unwritable(_)
            | Trouble::Storage(_) => false,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod golden_tests;
