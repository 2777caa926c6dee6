//! The shelf behind one lock: its state from the days' events and its own, and the writing of new
//! ones. A tap on the shelf is rare, so no thread and no grouping of commands is needed.
//!
//! What it keeps true: an order is answered after its events are on disk; the same id never happens
//! twice; after trouble the state is thrown away and read from the disk again; a day that cannot be
//! read is named and takes nothing else with it.

use super::days::Days;
use super::handle::Receipt;
use crate::clock::Clock;
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{Moment, Role};
use crate::journal::{Digest, Journal, ShelfBook, ShelfEntry, Trouble, sound_part};
use crate::shelf::{self, Command, Refusal, State};
use crate::trace::Walk;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use uuid::Uuid;

/// The shelf of this server.
pub struct ShelfKeeper {
    store: PathBuf,
    days: Arc<Days>,
    clock: Arc<dyn Clock>,
    /// `None` before the first use and after trouble.
    loaded: Mutex<Option<Loaded>>,
}

struct Loaded {
    book: ShelfBook,
    journal: Box<dyn Journal>,
    state: State,
    seq: u64,
    last_at: Timestamp,
    /// Up to which event each day is known.
    known: BTreeMap<DayId, u64>,
    unreadable: BTreeSet<DayId>,
}

/// An order about the shelf.
#[derive(Debug, Clone)]
pub struct ShelfOrder {
    /// Its id, made by the device.
    pub id: Uuid,
    /// What is ordered.
    pub command: Command,
    /// What the device may do.
    pub role: Role,
}

/// What a question to the shelf is asked of.
pub struct ShelfNow<'a> {
    /// The shelf as it stands.
    pub state: &'a State,
    /// This moment.
    pub now: Timestamp,
    /// The number of its last event.
    pub seq: u64,
    /// Days whose packages cannot be told because their events cannot be read.
    pub unreadable: &'a BTreeSet<DayId>,
}

/// Why an order or a question was not answered.
#[derive(Debug)]
pub enum ShelfUnanswered {
    /// The rules refuse it.
    Refused(Refusal),
    /// The id belongs to another command.
    IdConflict,
    /// It would have broken what must always hold; nothing happened.
    Broken(String),
    /// It could not be written or read; nothing happened.
    Trouble(Trouble),
}

impl From<Trouble> for ShelfUnanswered {
    fn from(trouble: Trouble) -> ShelfUnanswered {
        ShelfUnanswered::Trouble(trouble)
    }
}

impl ShelfKeeper {
    /// The shelf in the file at `store`, of these days; read when first needed.
    pub fn new(store: PathBuf, days: Arc<Days>) -> ShelfKeeper {
        ShelfKeeper {
            store,
            clock: days.clock(),
            days,
            loaded: Mutex::new(None),
        }
    }

    /// Reads all from the disk again at the next question: rows were brought by another way.
    pub fn read_again(&self) {
        *self.loaded.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }

    /// Asks a question. Blocks.
    ///
    /// # Errors
    /// The shelf cannot be read.
    pub fn look<T>(&self, question: impl FnOnce(&ShelfNow<'_>) -> T) -> Result<T, ShelfUnanswered> {
        self.with(|loaded, now| {
            let shelf = ShelfNow {
                state: &loaded.state,
                now,
                seq: loaded.seq,
                unreadable: &loaded.unreadable,
            };
            Ok(question(&shelf))
        })
    }

    /// Gives an order and waits until it is on disk. Blocks.
    ///
    /// # Errors
    /// It was refused, or could not be carried out; nothing happened then.
    pub fn order(&self, order: &ShelfOrder) -> Result<Receipt, ShelfUnanswered> {
        self.with(|loaded, now| {
            let receipt = loaded.order(order, now)?;
            Ok(self.days.disk().confirmed(Ok(receipt))?)
        })
    }

    fn with<T>(
        &self,
        run: impl FnOnce(&mut Loaded, Timestamp) -> Result<T, ShelfUnanswered>,
    ) -> Result<T, ShelfUnanswered> {
        let mut kept = self.loaded.lock().unwrap_or_else(PoisonError::into_inner);
        // Put back only when all went well: after trouble it is read from the disk again.
        let mut loaded = match kept.take() {
            Some(loaded) => loaded,
            None => Loaded::load(ShelfBook::open(&self.store)?, self.days.journals().open()?)?,
        };
        loaded.refresh()?;
        let now = self.clock.now().max(loaded.last_at);
        let answer = run(&mut loaded, now);
        match &answer {
            Err(ShelfUnanswered::Trouble(trouble)) => {
                if !self.days.disk().note(trouble) {
                    tracing::error!(%trouble, "the shelf is in trouble");
                }
            }
            Err(ShelfUnanswered::Broken(broken)) => {
                tracing::error!(%broken, "refused: it would break what holds of the shelf");
            }
            Ok(_) | Err(ShelfUnanswered::Refused(_) | ShelfUnanswered::IdConflict) => {
                *kept = Some(loaded);
            }
        }
        answer
    }
}

impl Loaded {
    fn load(book: ShelfBook, journal: Box<dyn Journal>) -> Result<Loaded, Trouble> {
        let mut loaded = Loaded {
            book,
            journal,
            state: State::default(),
            seq: 0,
            last_at: Timestamp(i64::MIN),
            known: BTreeMap::new(),
            unreadable: BTreeSet::new(),
        };
        for record in loaded.book.all()? {
            shelf::apply(&mut loaded.state, record.at, record.command, &record.event);
            loaded.seq = record.seq;
            loaded.last_at = record.at;
        }
        Ok(loaded)
    }

    /// Traces the days that have gone on since they were last looked at.
    fn refresh(&mut self) -> Result<(), Trouble> {
        for (day, heading) in self.journal.days()? {
            if self.known.get(&day) == Some(&heading.seq) {
                continue;
            }
            let mut walk = Walk::default();
            match sound_part(&*self.journal, &day, 0, |record| walk.take(&record))? {
                None => {
                    self.state.bring(day.clone(), walk.told());
                    self.unreadable.remove(&day);
                }
                Some(trouble) => {
                    tracing::error!(%day, %trouble, "its packages cannot be told");
                    self.unreadable.insert(day.clone());
                }
            }
            self.known.insert(day, heading.seq);
        }
        Ok(())
    }

    fn order(&mut self, order: &ShelfOrder, now: Timestamp) -> Result<Receipt, ShelfUnanswered> {
        let body = serde_json::to_vec(&order.command)
            .map_err(|error| Trouble::Storage(error.to_string()))?;
        let body = Digest::of(&body);
        let id = order.id;
        if let Some(first) = self.book.find(id)? {
            let (seq, at) = (first.seq, first.at);
            return if first.body == body {
                Ok(Receipt { id, seq, at })
            } else {
                Err(ShelfUnanswered::IdConflict)
            };
        }
        let moment = Moment {
            now,
            command: id,
            role: order.role,
        };
        let events = shelf::execute(&mut self.state, &order.command, &moment)
            .map_err(ShelfUnanswered::Refused)?;
        self.state.check().map_err(ShelfUnanswered::Broken)?;
        let entry = ShelfEntry {
            command: id,
            body,
            at: now,
            role: order.role,
            events,
        };
        self.seq = self.book.append(self.seq, &entry)?;
        self.last_at = now;
        Ok(Receipt {
            id,
            seq: self.seq,
            at: now,
        })
    }
}
