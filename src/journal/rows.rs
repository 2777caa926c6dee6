//! Rows of the journal's tables: how events and commands are written, and how far a row is believed.
//!
//! What it keeps true: a row becomes a record only if its number follows the one before and its
//! digest fits.

use super::digest::Link;
use super::record::{VERSION, lift, role_from, role_text, stored};
use super::*;
use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};

/// Where a day ends.
pub(super) struct End {
    pub seq: u64,
    pub at: Timestamp,
    pub digest: Digest,
}

pub(super) fn end_of(connection: &Connection, day: &DayId) -> Result<End, Trouble> {
    let found = connection
        .prepare_cached(
            "SELECT seq, at_ms, digest FROM events WHERE day = ?1 ORDER BY seq DESC LIMIT 1",
        )?
        .query_row(params![day.as_str()], |row| {
            Ok((
                seq_of(row, 0)?,
                Timestamp(row.get(1)?),
                row.get::<_, Vec<u8>>(2)?,
            ))
        })
        .optional()
        .map_err(|error| unreadable(day, 0, error))?;
    let Some((seq, at, digest)) = found else {
        return Ok(End {
            seq: 0,
            at: Timestamp(i64::MIN),
            digest: Digest::START,
        });
    };
    let digest =
        Digest::stored(&digest).ok_or_else(|| damaged(day, seq, "its digest is no digest"))?;
    Ok(End { seq, at, digest })
}

/// Where a day ends; `None` if its last row is damaged, which hinders no other day.
pub(super) fn known_end(connection: &Connection, day: &DayId) -> Result<Option<End>, Trouble> {
    match end_of(connection, day) {
        Ok(end) => Ok(Some(end)),
        Err(trouble) if trouble.is_damage() => Ok(None),
        Err(trouble) => Err(trouble),
    }
}

pub(super) fn write_entry(
    tx: &Transaction,
    day: &DayId,
    end: End,
    entry: &Entry,
) -> Result<End, Trouble> {
    if entry.at < end.at {
        let (last, at) = (end.at.0, entry.at.0);
        return Err(Trouble::TimeWentBack { last, at });
    }
    let mut end = End {
        at: entry.at.max(end.at),
        ..end
    };
    for event in &entry.events {
        end.seq += 1;
        end.digest = write_event(tx, day, &end, entry, event)?;
    }
    tx.prepare_cached(
        "INSERT INTO commands (day, command, body, seq, at_ms) VALUES (?1, ?2, ?3, ?4, ?5)",
    )?
    .execute(params![
        day.as_str(),
        entry.command.as_bytes(),
        entry.body.0,
        column(end.seq),
        entry.at.0
    ])?;
    Ok(end)
}

fn write_event(
    tx: &Transaction,
    day: &DayId,
    end: &End,
    entry: &Entry,
    event: &Event,
) -> Result<Digest, Trouble> {
    let (kind, body) = stored(event).map_err(|error| Trouble::Storage(error.to_string()))?;
    let link = Link {
        day: day.as_str(),
        seq: end.seq,
        at: entry.at,
        command: entry.command,
        role: role_text(entry.role),
        kind: &kind,
        version: VERSION,
        body: &body,
    };
    let digest = link.digest(end.digest);
    tx.prepare_cached(
        "INSERT INTO events (day, seq, at_ms, command, role, kind, version, body, digest)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![
        day.as_str(),
        column(link.seq),
        link.at.0,
        link.command.as_bytes(),
        link.role,
        link.kind,
        link.version,
        link.body,
        digest.0
    ])?;
    Ok(digest)
}

pub(super) fn digest_at(connection: &Connection, day: &DayId, seq: u64) -> Result<Digest, Trouble> {
    if seq == 0 {
        return Ok(Digest::START);
    }
    let found: Option<Vec<u8>> = connection
        .prepare_cached("SELECT digest FROM events WHERE day = ?1 AND seq = ?2")?
        .query_row(params![day.as_str(), column(seq)], |row| row.get(0))
        .optional()
        .map_err(|error| unreadable(day, seq, error))?;
    found
        .and_then(|bytes| Digest::stored(&bytes))
        .ok_or_else(|| damaged(day, seq, "it is missing"))
}

/// A row of events, not yet believed.
pub(super) struct StoredEvent {
    seq: u64,
    pub at: Timestamp,
    pub command: Vec<u8>,
    pub role: String,
    kind: String,
    pub version: u32,
    pub body: String,
    digest: Vec<u8>,
}

impl StoredEvent {
    pub fn of(row: &Row<'_>) -> rusqlite::Result<StoredEvent> {
        Ok(StoredEvent {
            seq: seq_of(row, 0)?,
            at: Timestamp(row.get(1)?),
            command: row.get(2)?,
            role: row.get(3)?,
            kind: row.get(4)?,
            version: row.get(5)?,
            body: row.get(6)?,
            digest: row.get(7)?,
        })
    }

    /// The command's id and the row's digest, if it is number `seq` of `chain` and follows `before`.
    pub fn linked(&self, chain: &str, seq: u64, before: Digest) -> Result<(Uuid, Digest), Trouble> {
        if self.seq != seq {
            return Err(damaged(chain, seq, "it is missing"));
        }
        let command = Uuid::from_slice(&self.command)
            .map_err(|_| damaged(chain, seq, "its command's id is no id"))?;
        let link = Link {
            day: chain,
            seq,
            at: self.at,
            command,
            role: &self.role,
            kind: &self.kind,
            version: self.version,
            body: &self.body,
        };
        let digest = link.digest(before);
        if Digest::stored(&self.digest) != Some(digest) {
            return Err(damaged(chain, seq, "its digest does not fit"));
        }
        Ok((command, digest))
    }

    /// The record of a day and its digest, if the row is number `seq` and chained to `before`.
    pub fn checked(
        self,
        day: &DayId,
        seq: u64,
        before: Digest,
    ) -> Result<(Record, Digest), Trouble> {
        let (command, digest) = self.linked(day.as_str(), seq, before)?;
        let unknown = || Trouble::UnknownEvent {
            day: day.to_string(),
            seq,
        };
        let record = Record {
            seq,
            at: self.at,
            command,
            role: role_from(&self.role).ok_or_else(unknown)?,
            event: lift(self.version, &self.body).ok_or_else(unknown)?,
        };
        Ok((record, digest))
    }
}

/// `chain` is a day's id, or what stands in its place.
pub(super) fn damaged(chain: impl std::fmt::Display, seq: u64, why: &str) -> Trouble {
    Trouble::Damaged {
        day: chain.to_string(),
        seq,
        why: why.to_owned(),
    }
}

/// SQLite's integers are signed; a day never has 2^63 events.
pub(super) fn column(seq: u64) -> i64 {
    i64::try_from(seq).unwrap_or(i64::MAX)
}

pub(super) fn seq_of(row: &Row<'_>, index: usize) -> rusqlite::Result<u64> {
    let seq: i64 = row.get(index)?;
    u64::try_from(seq).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(index, seq))
}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Trouble {
        use rusqlite::ffi;
        let said = error.to_string();
        let Some(code) = error.sqlite_error().map(|error| error.extended_code) else {
            return Trouble::Storage(said);
        };
        // The low byte is the kind, the rest says where it arose (SQLite, "Result Codes").
        match (code & 0xff, code) {
            (_, ffi::SQLITE_IOERR_FSYNC | ffi::SQLITE_IOERR_DIR_FSYNC) => Trouble::SyncFailed(said),
            (ffi::SQLITE_FULL, _) => Trouble::Full(said),
            (ffi::SQLITE_READONLY, _)
            | (_, ffi::SQLITE_IOERR_WRITE)
            | (_, ffi::SQLITE_IOERR_TRUNCATE)
            | (_, ffi::SQLITE_IOERR_SHMSIZE) => Trouble::Unwritable(said),
            (ffi::SQLITE_CORRUPT | ffi::SQLITE_NOTADB, _) => Trouble::Malformed(said),
            _ => Trouble::Storage(said),
        }
    }
}

fn is_of_file(code: rusqlite::ErrorCode) -> bool {
    use rusqlite::ErrorCode::{DatabaseCorrupt, NotADatabase};
    matches!(code, DatabaseCorrupt | NotADatabase)
}

/// What it means that row `seq` of a chain could not be read: damage, unless the disk was at fault.
pub(super) fn unreadable(
    chain: impl std::fmt::Display,
    seq: u64,
    error: rusqlite::Error,
) -> Trouble {
    let why = error.to_string();
    match error {
        // A value of another type or out of its range was never written so.
        rusqlite::Error::FromSqlConversionFailure(..)
        | rusqlite::Error::IntegralValueOutOfRange(..)
        | rusqlite::Error::InvalidColumnType(..)
        | rusqlite::Error::Utf8Error(..) => damaged(chain, seq, &why),
        error if error.sqlite_error_code().is_some_and(is_of_file) => damaged(chain, seq, &why),
        error => error.into(),
    }
}
