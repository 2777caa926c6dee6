//! Whether a journal is sound, and how far a damaged one is still good.
//!
//! Three things are looked at: the database's own file; every event against the digests and the
//! commands; and every day replayed by the rules, with its invariants after each command. What it
//! keeps true: nothing is written, and a damaged day is told without hindering the others.

use crate::day::Record;
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::journal::{Digest, ReadOnly, Trouble, log_of, sound_part};
use crate::shelf;
use crate::trace::{Traced, Walk};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;
use uuid::Uuid;

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Found {
    /// How many migrations made its tables.
    pub form: i64,
    /// Whether all of it is as it was written.
    pub sound: bool,
    /// What the database finds wrong with its file.
    pub file: Vec<String>,
    /// Every day, by id.
    pub days: Vec<DayFound>,
    /// The shelf; `None` in a form that had none.
    pub shelf: Option<ShelfFound>,
}

/// One day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DayFound {
    /// Its id, as it is stored.
    pub day: String,
    /// How many events from its first on are sound.
    pub events: u64,
    /// When the last of those happened.
    pub last_at: Option<Timestamp>,
    /// What is wrong with the next.
    pub fault: Option<Fault>,
}

/// The shelf's own events.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ShelfFound {
    /// How many events from the first on are sound.
    pub events: u64,
    /// When the last of those happened.
    pub last_at: Option<Timestamp>,
    /// What is wrong after them.
    pub fault: Option<Fault>,
}

/// The first thing that is wrong with a chain of events.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The number of the event.
    pub seq: u64,
    /// What does not fit.
    pub why: String,
}

impl Found {
    /// When the last sound event of all happened.
    pub fn last_at(&self) -> Option<Timestamp> {
        let days = self.days.iter().filter_map(|day| day.last_at).max();
        days.max(self.shelf.as_ref().and_then(|shelf| shelf.last_at))
    }

    /// The first thing that is wrong, in a sentence; `None` if nothing is.
    pub fn first_fault(&self) -> Option<String> {
        let of_day = |day: &DayFound| {
            let Fault { seq, why } = day.fault.as_ref()?;
            Some(format!("day {:?}: event {seq}: {why}", day.day))
        };
        let of_shelf = |shelf: &ShelfFound| {
            let Fault { seq, why } = shelf.fault.as_ref()?;
            Some(format!("the shelf: event {seq}: {why}"))
        };
        let day = self.days.iter().find_map(of_day);
        day.or_else(|| self.shelf.as_ref().and_then(of_shelf))
            .or_else(|| self.file.first().map(|why| format!("the file: {why}")))
    }
}

/// Days that were replayed and found to balance, by the digest of their last event, with the packages
/// they made. The same events need not be replayed again; that they are the same, their digests say.
#[derive(Debug, Default)]
pub struct Replayed(BTreeMap<DayId, (Digest, Traced)>);

/// Looks at the journal at `path`. A server may be at work on it.
///
/// # Errors
/// There is no journal, it is of a newer form, or it is damaged beyond any reading.
pub fn check(path: &Path) -> Result<Found, Trouble> {
    check_beyond(path, &mut Replayed::default())
}

/// The same, where much of it was looked at before.
///
/// # Errors
/// As [`check`].
pub fn check_beyond(path: &Path, replayed: &mut Replayed) -> Result<Found, Trouble> {
    let calm = || !log_of(path).exists();
    let was_calm = calm();
    let found = check_once(path, replayed);
    // A server that began meanwhile may have written under our eyes: what was seen then may be half
    // of something.
    let is_sound = found.as_ref().is_ok_and(|found| found.sound);
    match is_sound || calm() == was_calm {
        true => found,
        false => check_once(path, replayed),
    }
}

fn check_once(path: &Path, replayed: &mut Replayed) -> Result<Found, Trouble> {
    let journal = ReadOnly::open(path)?;
    let file = journal.faults_of_file()?;
    let heads = journal.heads()?;
    let mut days = Vec::new();
    for id in journal.days()? {
        let head = heads.get(&id).map(|head| head.digest);
        days.push(check_day(&journal, id, head, replayed)?);
    }
    let all_days = days.iter().all(|day| day.fault.is_none());
    let mut stock = shelf::State::default();
    for day in &days {
        let id = DayId::try_from(day.day.as_str()).ok();
        let known = id.and_then(|id| replayed.0.get_key_value(&id));
        if let Some((id, (_, traced))) = known {
            stock.bring(id.clone(), traced.clone());
        }
    }
    let shelf = check_shelf(&journal, stock, all_days)?;
    let shelf_sound = shelf.as_ref().is_none_or(|shelf| shelf.fault.is_none());
    Ok(Found {
        form: journal.form(),
        sound: file.is_empty() && all_days && shelf_sound,
        file,
        days,
        shelf,
    })
}

fn check_day(
    journal: &ReadOnly,
    day: String,
    head: Option<Digest>,
    replayed: &mut Replayed,
) -> Result<DayFound, Trouble> {
    let mut found = DayFound {
        day,
        events: 0,
        last_at: None,
        fault: None,
    };
    let Ok(id) = DayId::try_from(found.day.as_str()) else {
        found.fault = Some(Fault {
            seq: 1,
            why: "the day's id is none".to_owned(),
        });
        return Ok(found);
    };
    let known = replayed.0.get(&id).map(|(digest, _)| *digest);
    let is_known = known.is_some() && known == head;
    let mut replay = Replay::default();
    let trouble = sound_part(journal.journal(), &id, 0, |record| {
        replay.at.push(record.at);
        if !is_known {
            replay.take(&record);
        }
    })?;
    let trouble = match trouble {
        Some(trouble) => Some(trouble),
        // Only a whole day can be laid beside its commands.
        None => match journal.journal().verify(&id) {
            Ok(_) => None,
            Err(trouble) if trouble.is_damage() => Some(trouble),
            Err(trouble) => return Err(trouble),
        },
    };
    if is_known && trouble.is_some() {
        // It is not what was replayed.
        replayed.0.remove(&id);
        return check_day(journal, found.day, head, replayed);
    }
    replay.command_ends();
    let fault = trouble.map(|trouble| fault_of(&trouble, replay.at.len()));
    found.fault = [fault, replay.broken]
        .into_iter()
        .flatten()
        .min_by_key(|fault| fault.seq);
    if let Some(fault) = &found.fault {
        // The numbers of a day's events are counted from one.
        let good = usize::try_from(fault.seq.saturating_sub(1)).unwrap_or(usize::MAX);
        replay.at.truncate(good);
    }
    found.events = replay.at.len() as u64;
    found.last_at = replay.at.last().copied();
    match head.filter(|_| found.fault.is_none()) {
        Some(_) if is_known => {}
        Some(head) => {
            replayed.0.insert(id, (head, replay.walk.told()));
        }
        None => {
            replayed.0.remove(&id);
        }
    }
    Ok(found)
}

/// A day played by the rules as its events are read.
#[derive(Default)]
struct Replay {
    walk: Walk,
    /// When each event happened.
    at: Vec<Timestamp>,
    /// The number and the command of the last.
    last: Option<(u64, Uuid)>,
    /// The end of the first command after which something does not hold.
    broken: Option<Fault>,
}

impl Replay {
    fn take(&mut self, record: &Record) {
        if self
            .last
            .is_some_and(|(_, command)| command != record.command)
        {
            self.command_ends();
        }
        self.last = Some((record.seq, record.command));
        if self.broken.is_none() {
            self.walk.take(record);
        }
    }

    fn command_ends(&mut self) {
        let Some((seq, _)) = self.last.filter(|_| self.broken.is_none()) else {
            return;
        };
        if let Err(broken) = self.walk.state().check() {
            self.broken = Some(Fault {
                seq,
                why: format!("after it the day does not balance: {broken}"),
            });
        }
    }
}

fn check_shelf(
    journal: &ReadOnly,
    mut stock: shelf::State,
    all_days: bool,
) -> Result<Option<ShelfFound>, Trouble> {
    let Some(book) = journal.shelf()? else {
        return Ok(None);
    };
    let (records, trouble) = match book.sound_part() {
        Ok(part) => part,
        Err(trouble) if trouble.is_damage() => (Vec::new(), Some(trouble)),
        Err(trouble) => return Err(trouble),
    };
    let mut fault = trouble.map(|trouble| fault_of(&trouble, records.len()));
    for record in &records {
        shelf::apply(&mut stock, record.at, record.command, &record.event);
        // What the shelf has come by is known only when every day is.
        if fault.is_some() || !all_days {
            continue;
        }
        if let Err(broken) = stock.check() {
            fault = Some(Fault {
                seq: record.seq,
                why: format!("after it the shelf does not balance: {broken}"),
            });
        }
    }
    Ok(Some(ShelfFound {
        events: records.len() as u64,
        last_at: records.last().map(|record| record.at),
        fault,
    }))
}

/// `sound` is how many events before it are good.
fn fault_of(trouble: &Trouble, sound: usize) -> Fault {
    match trouble {
        Trouble::Damaged { seq, why, .. } => Fault {
            seq: *seq,
            why: why.clone(),
        },
        Trouble::UnknownEvent { seq, .. } => Fault {
            seq: *seq,
            why: "it is of a kind this version does not know; a newer one may".to_owned(),
        },
        other => Fault {
            seq: sound as u64 + 1,
            why: other.to_string(),
        },
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "check_tests.rs"]
mod tests;
