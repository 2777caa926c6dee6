//! The disk of a simulated server: keeps what is written, fails as the seed wants it, and keeps
//! through a crash what was synced. Of a write that was never confirmed nobody knows.
//!
//! Underneath stands either a plain list of rows, which is quick, or the real journal's SQL on a
//! database in memory, with its chain of digests.

use crate::dice::Dice;
use putby::day::ids::DayId;
use putby::day::time::Timestamp;
use putby::day::{Event, Record};
use putby::journal::{
    Entry, Heading, Journal, JournalId, Journals, KeptCorrection, Outcome, Snapshot, SqliteJournal,
    Trouble,
};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use uuid::Uuid;

/// Ends the process in the middle of a write; the simulation catches it.
pub struct PowerCut;

/// How often what goes wrong, from 0 to 1.
#[derive(Debug, Clone, Copy, Default)]
pub struct DiskFaults {
    /// There is no room: nothing is written.
    pub full: f64,
    /// It is written, but that is not learned.
    pub mute: f64,
    /// The sync fails: only a restart shows what is there.
    pub unsure: f64,
    /// The power goes before anything is written.
    pub cut_before: f64,
    /// The power goes when everything is written and nobody knows.
    pub cut_after: f64,
    /// The store cannot be opened.
    pub shut: f64,
}

pub struct Disk {
    /// Which journal lies on it.
    pub id: JournalId,
    store: Store,
    mood: Mutex<Mood>,
}

struct Mood {
    dice: Dice,
    faults: DiskFaults,
    unsure: Option<(DayId, u64, Vec<Entry>)>,
}

enum Store {
    Rows(Arc<Mutex<Rows>>),
    /// The address, and a connection without which the database would be gone.
    Sql(PathBuf, Mutex<SqliteJournal>),
}

impl Disk {
    pub fn new(seed: u64, sql: bool) -> Arc<Disk> {
        let store = if sql {
            let path = PathBuf::from(format!("file:/hunt-{seed}-{}?vfs=memdb", Uuid::new_v4()));
            let keeper = SqliteJournal::open(&path).unwrap();
            Store::Sql(path, Mutex::new(keeper))
        } else {
            Store::Rows(Arc::default())
        };
        let mood = Mutex::new(Mood {
            dice: Dice::new(seed ^ 0xd15c),
            faults: DiskFaults::default(),
            unsure: None,
        });
        let id = JournalId::random();
        Arc::new(Disk { id, store, mood })
    }

    pub fn set_faults(&self, faults: DiskFaults) {
        locked(&self.mood).faults = faults;
    }

    /// The journal without any fault, to see what is there.
    pub fn honest(&self) -> Box<dyn Journal> {
        match &self.store {
            Store::Rows(rows) => Box::new(RowJournal(Arc::clone(rows))),
            Store::Sql(path, keeper) => {
                drop(locked(keeper));
                Box::new(SqliteJournal::open(path).unwrap())
            }
        }
    }

    /// What a new process finds: of an unconfirmed write, all or nothing.
    pub fn after_crash(&self) {
        let mut mood = locked(&self.mood);
        let unsure = mood.unsure.take();
        let reached = mood.dice.chance(0.5);
        if let Some((day, expected, entries)) = unsure.filter(|_| reached) {
            self.honest().append(&day, expected, &entries).unwrap();
        }
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The disk as the server opens it.
pub struct Mounted(pub Arc<Disk>);

impl Journals for Mounted {
    fn open(&self) -> Result<Box<dyn Journal>, Trouble> {
        let mut mood = locked(&self.0.mood);
        let shut = mood.faults.shut;
        if mood.dice.chance(shut) {
            return Err(Trouble::Storage("it cannot be opened".to_owned()));
        }
        drop(mood);
        let (inner, disk) = (self.0.honest(), Arc::clone(&self.0));
        Ok(Box::new(FaultyJournal { inner, disk }))
    }

    fn id(&self) -> Result<JournalId, Trouble> {
        Ok(self.0.id)
    }
}

struct FaultyJournal {
    inner: Box<dyn Journal>,
    disk: Arc<Disk>,
}

impl Journal for FaultyJournal {
    fn append(&mut self, day: &DayId, expected: u64, entries: &[Entry]) -> Result<u64, Trouble> {
        let mut mood = locked(&self.disk.mood);
        assert!(mood.unsure.is_none(), "written to after a failed sync");
        let faults = mood.faults;
        let mut drawn = mood.dice.share();
        let mut falls = |share: f64| {
            drawn -= share;
            drawn < 0.0
        };
        if falls(faults.full) {
            return Err(Trouble::Storage("the disk is full".to_owned()));
        }
        if falls(faults.mute) {
            self.inner.append(day, expected, entries)?;
            return Err(Trouble::Storage("no answer".to_owned()));
        }
        if falls(faults.unsure) {
            mood.unsure = Some((day.clone(), expected, entries.to_vec()));
            return Err(Trouble::SyncFailed("no sync".to_owned()));
        }
        if falls(faults.cut_before) {
            std::panic::resume_unwind(Box::new(PowerCut));
        }
        let written = self.inner.append(day, expected, entries)?;
        if falls(faults.cut_after) {
            std::panic::resume_unwind(Box::new(PowerCut));
        }
        Ok(written)
    }

    putby::journal::forward_journal!(
        read find opened_by days has last_at snapshot keep_snapshot verify corrections keep_correction
    );
}

/// The rows of one store. Events are kept as text, as the real journal keeps them.
#[derive(Default)]
struct Rows {
    events: BTreeMap<DayId, Vec<Row>>,
    commands: BTreeMap<(DayId, Uuid), Outcome>,
    snapshots: BTreeMap<DayId, Snapshot>,
}

struct Row {
    at: Timestamp,
    command: Uuid,
    role: putby::day::Role,
    body: String,
}

struct RowJournal(Arc<Mutex<Rows>>);

impl Journal for RowJournal {
    fn append(&mut self, day: &DayId, expected: u64, entries: &[Entry]) -> Result<u64, Trouble> {
        let mut rows = locked(&self.0);
        let rows = &mut *rows;
        let events = rows.events.entry(day.clone()).or_default();
        let found = events.len() as u64;
        if found != expected {
            return Err(Trouble::WrongSeq { expected, found });
        }
        let mut last = events.last().map_or(i64::MIN, |row| row.at.0);
        let mut fresh = std::collections::BTreeSet::new();
        for entry in entries {
            if entry.at.0 < last {
                let at = entry.at.0;
                return Err(Trouble::TimeWentBack { last, at });
            }
            last = entry.at.0;
            let known = rows.commands.contains_key(&(day.clone(), entry.command));
            if known || !fresh.insert(entry.command) {
                return Err(Trouble::Storage("this command is stored".to_owned()));
            }
        }
        for entry in entries {
            events.extend(entry.events.iter().map(|event| Row {
                at: entry.at,
                command: entry.command,
                role: entry.role,
                body: serde_json::to_string(event).unwrap(),
            }));
            let outcome = Outcome {
                seq: events.len() as u64,
                at: entry.at,
                body: entry.body,
            };
            rows.commands.insert((day.clone(), entry.command), outcome);
        }
        Ok(events.len() as u64)
    }

    fn read(&self, day: &DayId, after: u64, limit: u32) -> Result<Vec<Record>, Trouble> {
        let rows = locked(&self.0);
        let events = rows.events.get(day).into_iter().flatten().enumerate();
        let asked = events
            .skip(usize::try_from(after).unwrap())
            .take(limit as usize);
        let record = |(place, row): (usize, &Row)| Record {
            seq: place as u64 + 1,
            at: row.at,
            command: row.command,
            role: row.role,
            event: serde_json::from_str::<Event>(&row.body).unwrap(),
        };
        Ok(asked.map(record).collect())
    }

    fn find(&self, day: &DayId, command: Uuid) -> Result<Option<Outcome>, Trouble> {
        Ok(locked(&self.0)
            .commands
            .get(&(day.clone(), command))
            .copied())
    }

    fn opened_by(&self, _: Uuid) -> Result<Option<DayId>, Trouble> {
        Ok(None)
    }

    fn days(&self) -> Result<Vec<(DayId, Heading)>, Trouble> {
        Ok(Vec::new())
    }

    fn has(&self, day: &DayId) -> Result<bool, Trouble> {
        Ok(locked(&self.0).events.contains_key(day))
    }

    fn last_at(&self) -> Result<Option<Timestamp>, Trouble> {
        let rows = locked(&self.0);
        let ends = rows.events.values().filter_map(|events| events.last());
        Ok(ends.map(|row| row.at).max())
    }

    fn snapshot(&self, day: &DayId, version: &str) -> Result<Option<Snapshot>, Trouble> {
        let kept = locked(&self.0).snapshots.get(day).cloned();
        Ok(kept.filter(|kept| kept.version == version))
    }

    fn keep_snapshot(&mut self, day: &DayId, snapshot: &Snapshot) -> Result<(), Trouble> {
        let mut rows = locked(&self.0);
        rows.snapshots.insert(day.clone(), snapshot.clone());
        Ok(())
    }

    fn verify(&self, day: &DayId) -> Result<u64, Trouble> {
        Ok(self.read(day, 0, u32::MAX)?.len() as u64)
    }

    fn corrections(&self) -> Result<Vec<KeptCorrection>, Trouble> {
        Ok(Vec::new())
    }

    fn keep_correction(&mut self, said: &KeptCorrection) -> Result<KeptCorrection, Trouble> {
        Ok(said.clone())
    }
}
