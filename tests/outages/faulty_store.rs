//! A store whose next write goes as it is told to; reading always works.

use putby::day::ids::DayId;
use putby::journal::{Entry, Journal, JournalId, Journals, Snapshot, SqliteJournal, Trouble};
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use tempfile::TempDir;

/// What becomes of a write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Write {
    Works,
    /// There is no room.
    Full,
    /// The disk takes nothing.
    Fails,
    /// It fails for a reason of its own.
    Trouble,
    /// It is done, and the answer is lost.
    Mute,
    /// It is not done, and nobody knows.
    Unconfirmed,
    /// It is done, and nobody knows.
    UnconfirmedDone,
}

impl Write {
    /// Everything that can go wrong with one.
    pub const WRONG: [Write; 6] = [
        Write::Full,
        Write::Fails,
        Write::Trouble,
        Write::Mute,
        Write::Unconfirmed,
        Write::UnconfirmedDone,
    ];

    /// Whether the process must end after it.
    pub fn is_final(self) -> bool {
        matches!(self, Write::Unconfirmed | Write::UnconfirmedDone)
    }

    fn gone(self, write: impl FnOnce() -> Result<u64, Trouble>) -> Result<u64, Trouble> {
        let words = "as the test wants it".to_owned();
        match self {
            Write::Works => write(),
            Write::Full => Err(Trouble::Full(words)),
            Write::Fails => Err(Trouble::Unwritable(words)),
            Write::Trouble => Err(Trouble::Storage(words)),
            Write::Mute => write().and(Err(Trouble::Storage(words))),
            Write::Unconfirmed => Err(Trouble::SyncFailed(words)),
            Write::UnconfirmedDone => write().and(Err(Trouble::SyncFailed(words))),
        }
    }
}

pub struct Store {
    _folder: TempDir,
    path: PathBuf,
    /// Of the next events.
    events: Arc<Mutex<Write>>,
    /// Of the next snapshot.
    snapshot: Arc<Mutex<Write>>,
}

impl Store {
    pub fn new() -> Store {
        // In memory where there is such a place: syncs are not what is tried here.
        let folder = tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir());
        let folder = folder.unwrap();
        let path = folder.path().join("putby.db");
        Store {
            _folder: folder,
            path,
            events: Arc::new(Mutex::new(Write::Works)),
            snapshot: Arc::new(Mutex::new(Write::Works)),
        }
    }

    pub fn next_events(&self, write: Write) {
        *self.events.lock().unwrap() = write;
    }

    pub fn next_snapshot(&self, write: Write) {
        *self.snapshot.lock().unwrap() = write;
    }

    /// Whether what was told last has not come to pass yet.
    pub fn snapshot_waits(&self) -> bool {
        *self.snapshot.lock().unwrap() != Write::Works
    }
}

impl Journals for Store {
    fn open(&self) -> Result<Box<dyn Journal>, Trouble> {
        Ok(Box::new(Faulty {
            inner: SqliteJournal::open(&self.path)?,
            events: Arc::clone(&self.events),
            snapshot: Arc::clone(&self.snapshot),
        }))
    }

    fn id(&self) -> Result<JournalId, Trouble> {
        Ok(JournalId::random())
    }
}

struct Faulty {
    inner: SqliteJournal,
    events: Arc<Mutex<Write>>,
    snapshot: Arc<Mutex<Write>>,
}

fn taken(write: &Mutex<Write>) -> Write {
    std::mem::replace(&mut *write.lock().unwrap(), Write::Works)
}

impl Journal for Faulty {
    fn append(&mut self, day: &DayId, expected: u64, entries: &[Entry]) -> Result<u64, Trouble> {
        taken(&self.events).gone(|| self.inner.append(day, expected, entries))
    }

    fn keep_snapshot(&mut self, day: &DayId, snapshot: &Snapshot) -> Result<(), Trouble> {
        let write = taken(&self.snapshot);
        let kept = write.gone(|| self.inner.keep_snapshot(day, snapshot).map(|()| 0));
        kept.map(|_| ())
    }

    putby::journal::forward_journal!(
        read find opened_by days has last_at snapshot verify corrections keep_correction
    );
}
