//! The journal in one SQLite file.
//!
//! Events are rows; one transaction holds all events of all commands of a group, and its commit is
//! synced. Each row's digest is checked whenever it is read.

use super::record::{VERSION, lift};
use super::rows::{
    StoredEvent, column, damaged, digest_at, end_of, known_end, seq_of, unreadable, write_entry,
};
use super::*;
use super::{corrections, schema};
use crate::day::plan::DayPlan;
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use std::path::{Path, PathBuf};

/// How many events are checked at a time when a whole day is.
const VERIFY_STEP: u32 = 1000;

/// Opens connections to one file.
pub struct SqliteJournals {
    path: PathBuf,
}

impl SqliteJournals {
    /// The file at `path`; it is made when first opened.
    pub fn at(path: PathBuf) -> SqliteJournals {
        SqliteJournals { path }
    }
}

impl Journals for SqliteJournals {
    fn open(&self) -> Result<Box<dyn Journal>, Trouble> {
        Ok(Box::new(SqliteJournal::open(&self.path)?))
    }

    fn id(&self) -> Result<JournalId, Trouble> {
        JournalId::of(&schema::open(&self.path)?)
    }
}

/// One connection.
pub struct SqliteJournal {
    pub(super) connection: Connection,
}

impl SqliteJournal {
    /// Opens the file at `path`, makes it if there is none, and brings it to the newest form.
    ///
    /// # Errors
    /// It cannot be opened, or a newer program wrote it.
    pub fn open(path: &Path) -> Result<SqliteJournal, Trouble> {
        Ok(SqliteJournal {
            connection: schema::open(path)?,
        })
    }
}

impl Journal for SqliteJournal {
    fn append(&mut self, day: &DayId, expected: u64, entries: &[Entry]) -> Result<u64, Trouble> {
        let tx = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut end = end_of(&tx, day)?;
        if end.seq != expected {
            let found = end.seq;
            return Err(Trouble::WrongSeq { expected, found });
        }
        if expected == 0
            && let Some(first) = entries.first()
        {
            tx.prepare_cached("INSERT INTO days (day, opened_by) VALUES (?1, ?2)")?
                .execute(params![day.as_str(), first.command.as_bytes()])?;
        }
        for entry in entries {
            end = write_entry(&tx, day, end, entry)?;
        }
        tx.commit()?;
        Ok(end.seq)
    }

    fn read(&self, day: &DayId, after: u64, limit: u32) -> Result<Vec<Record>, Trouble> {
        let mut select = self.connection.prepare_cached(
            "SELECT seq, at_ms, command, role, kind, version, body, digest FROM events
             WHERE day = ?1 AND seq > ?2 ORDER BY seq LIMIT ?3",
        )?;
        let rows =
            select.query_map(params![day.as_str(), column(after), limit], StoredEvent::of)?;
        let mut before = None;
        let mut records = Vec::new();
        for (row, seq) in rows.zip(after + 1..) {
            let row = row.map_err(|error| unreadable(day, seq, error))?;
            let before = match &mut before {
                Some(before) => before,
                // Asked only where there is a row after it.
                None => before.insert(digest_at(&self.connection, day, after)?),
            };
            let (record, digest) = row.checked(day, seq, *before)?;
            *before = digest;
            records.push(record);
        }
        Ok(records)
    }

    fn find(&self, day: &DayId, command: Uuid) -> Result<Option<Outcome>, Trouble> {
        let found = self
            .connection
            .prepare_cached(
                "SELECT seq, at_ms, body FROM commands WHERE day = ?1 AND command = ?2",
            )?
            .query_row(params![day.as_str(), command.as_bytes()], |row| {
                Ok((seq_of(row, 0)?, row.get(1)?, row.get::<_, Vec<u8>>(2)?))
            })
            .optional()?;
        Ok(found.map(|(seq, at, body)| Outcome {
            seq,
            at: Timestamp(at),
            // A damaged digest fits no body, so the command is never taken for a repeat.
            body: Digest::stored(&body).unwrap_or(Digest::START),
        }))
    }

    fn opened_by(&self, command: Uuid) -> Result<Option<DayId>, Trouble> {
        let day: Option<String> = self
            .connection
            .query_row(
                "SELECT day FROM days WHERE opened_by = ?1",
                params![command.as_bytes()],
                |row| row.get(0),
            )
            .optional()?;
        day.map(day_id).transpose()
    }

    fn days(&self) -> Result<Vec<(DayId, Heading)>, Trouble> {
        let mut select = self.connection.prepare_cached(
            "SELECT day, at_ms, body FROM events
             WHERE kind IN ('day-opened', 'day-changed', 'day-closed') ORDER BY day, seq",
        )?;
        let rows = select.query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                Timestamp(row.get(1)?),
                row.get::<_, String>(2)?,
            ))
        })?;
        let mut days: Vec<(DayId, Heading)> = Vec::new();
        for row in rows {
            let (day, at, body) = row?;
            let Some(event) = lift(VERSION, &body) else {
                continue;
            };
            let day = day_id(day)?;
            if let Event::DayOpened { plan } = &event {
                if let Some(end) = known_end(&self.connection, &day)? {
                    days.push((day, opened(plan, at, end.seq, end.at)));
                }
            } else if let Some((last, heading)) = days.last_mut()
                && *last == day
            {
                fold(heading, at, &event);
            }
        }
        Ok(days)
    }

    fn has(&self, day: &DayId) -> Result<bool, Trouble> {
        let any = "SELECT EXISTS (SELECT 1 FROM events WHERE day = ?1)";
        let any = self
            .connection
            .query_row(any, params![day.as_str()], |row| row.get(0));
        Ok(any?)
    }

    fn last_at(&self) -> Result<Option<Timestamp>, Trouble> {
        let mut last = None;
        let mut select = self.connection.prepare("SELECT day FROM days")?;
        let days = select.query_map([], |row| row.get::<_, String>(0))?;
        for day in days {
            let end = known_end(&self.connection, &day_id(day?)?)?;
            last = last.max(end.map(|end| end.at));
        }
        last = last.max(super::shelf::last_at(&self.connection)?);
        Ok(last)
    }

    fn snapshot(&self, day: &DayId, version: &str) -> Result<Option<Snapshot>, Trouble> {
        let found = self
            .connection
            .query_row(
                "SELECT seq, body, own, digest FROM snapshots WHERE day = ?1 AND version = ?2",
                params![day.as_str(), version],
                |row| {
                    let blob = |index| row.get::<_, Vec<u8>>(index);
                    Ok((seq_of(row, 0)?, blob(1)?, blob(2)?, blob(3)?))
                },
            )
            .optional();
        let (seq, body, own, digest) = match found.map_err(|error| unreadable(day, 0, error)) {
            Ok(Some(found)) => found,
            Ok(None) => return Ok(None),
            Err(trouble) if trouble.is_damage() => return Ok(None),
            Err(trouble) => return Err(trouble),
        };
        let whole = Digest::stored(&own) == Some(Digest::of(&body));
        let fits = Digest::stored(&digest) == digest_at(&self.connection, day, seq).ok();
        let version = version.to_owned();
        Ok((whole && fits).then_some(Snapshot { seq, version, body }))
    }

    fn keep_snapshot(&mut self, day: &DayId, snapshot: &Snapshot) -> Result<(), Trouble> {
        let digest = digest_at(&self.connection, day, snapshot.seq)?;
        self.connection.execute(
            "INSERT INTO snapshots (day, seq, version, body, own, digest)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)
             ON CONFLICT (day) DO UPDATE SET seq = excluded.seq, version = excluded.version,
                 body = excluded.body, own = excluded.own, digest = excluded.digest",
            params![
                day.as_str(),
                column(snapshot.seq),
                snapshot.version,
                snapshot.body,
                Digest::of(&snapshot.body).0,
                digest.0
            ],
        )?;
        Ok(())
    }

    fn verify(&self, day: &DayId) -> Result<u64, Trouble> {
        let mut seq = 0;
        loop {
            let records = self.read(day, seq, VERIFY_STEP)?;
            let Some(last) = records.last() else { break };
            seq = last.seq;
        }
        match sound::of_commands(&self.connection, day)? {
            Some((seq, why)) => Err(damaged(day, seq, why)),
            None => Ok(seq),
        }
    }

    fn corrections(&self) -> Result<Vec<KeptCorrection>, Trouble> {
        corrections::all(&self.connection)
    }

    fn keep_correction(&mut self, said: &KeptCorrection) -> Result<KeptCorrection, Trouble> {
        corrections::keep(&mut self.connection, said)
    }
}

fn opened(plan: &DayPlan, at: Timestamp, seq: u64, last_at: Timestamp) -> Heading {
    Heading {
        name: plan.name.clone(),
        date: plan.date.clone(),
        opened_at: at,
        closed_at: None,
        seq,
        last_at,
    }
}

fn fold(heading: &mut Heading, at: Timestamp, event: &Event) {
    if let Event::DayChanged {
        name: Some(name), ..
    } = event
    {
        heading.name.clone_from(name);
    } else if matches!(event, Event::DayClosed {}) {
        heading.closed_at = Some(at);
    }
}

fn day_id(text: String) -> Result<DayId, Trouble> {
    DayId::try_from(text).map_err(|bad| Trouble::Storage(bad.to_string()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "sqlite_tests.rs"]
mod tests;
