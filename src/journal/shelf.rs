//! The shelf's own events, in tables of their own in the same file, in the same way: numbered
//! without gaps, chained by digests, a command's id stored once, synced before anyone hears of it.

use super::digest::Link;
use super::record::{role_from, role_text};
use super::rows::{StoredEvent, column, damaged, seq_of, unreadable};
use super::{Digest, Outcome, Trouble, schema, sound};
use crate::day::Role;
use crate::day::time::Timestamp;
use crate::shelf::{Event, Record};
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use std::path::Path;
use uuid::Uuid;

/// What stands in the place of a day's id: no day can be called so.
const CHAIN: &str = "*shelf";
/// The form events are written in now.
const VERSION: u32 = 1;

/// Events of one command, on their way into the book.
#[derive(Debug, Clone)]
pub struct ShelfEntry {
    /// The command's id.
    pub command: Uuid,
    /// Digest of what the command said.
    pub body: Digest,
    /// When it was decided.
    pub at: Timestamp,
    /// Who ordered.
    pub role: Role,
    /// What happened.
    pub events: Vec<Event>,
}

/// The stored events of the shelf.
pub struct ShelfBook {
    pub(super) connection: Connection,
}

impl ShelfBook {
    /// Opens the store at `path`.
    ///
    /// # Errors
    /// It cannot be opened or a newer program wrote it.
    pub fn open(path: &Path) -> Result<ShelfBook, Trouble> {
        Ok(ShelfBook {
            connection: schema::open(path)?,
        })
    }

    /// Every event in order, verified against the chain.
    ///
    /// # Errors
    /// An event is damaged, of an unknown kind, or cannot be read.
    pub fn all(&self) -> Result<Vec<Record>, Trouble> {
        match self.sound_part()? {
            (records, None) => Ok(records),
            (_, Some(trouble)) => Err(trouble),
        }
    }

    /// Every event up to the first that is not as it was written, and what is wrong with that one.
    ///
    /// # Errors
    /// They cannot be read at all.
    pub fn sound_part(&self) -> Result<(Vec<Record>, Option<Trouble>), Trouble> {
        let mut select = self.connection.prepare_cached(
            "SELECT seq, at_ms, command, role, kind, version, body, digest FROM shelf_events
             ORDER BY seq",
        )?;
        let rows = select.query_map([], StoredEvent::of)?;
        let mut before = Digest::START;
        let mut records = Vec::new();
        for (row, seq) in rows.zip(1..) {
            let row = row.map_err(|error| unreadable(CHAIN, seq, error));
            match row.and_then(|row| checked(row, seq, before)) {
                Ok((record, digest)) => {
                    before = digest;
                    records.push(record);
                }
                Err(trouble) if trouble.is_damage() => return Ok((records, Some(trouble))),
                Err(trouble) => return Err(trouble),
            }
        }
        let last = records.len() as u64;
        let fault = sound::of_shelf_commands(&self.connection, last)?;
        let fault = fault.map(|(seq, why)| damaged(CHAIN, seq, why));
        Ok((records, fault))
    }

    /// What became of a command.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn find(&self, command: Uuid) -> Result<Option<Outcome>, Trouble> {
        let found = self
            .connection
            .prepare_cached("SELECT seq, at_ms, body FROM shelf_commands WHERE command = ?1")?
            .query_row(params![command.as_bytes()], |row| {
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

    /// Writes the events of a command after event `expected`, all or nothing, and returns the number
    /// of the last. When it returns they are on disk.
    ///
    /// # Errors
    /// Somebody else wrote in between, the command is stored already, or the disk failed.
    pub fn append(&mut self, expected: u64, entry: &ShelfEntry) -> Result<u64, Trouble> {
        let tx = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let (mut seq, mut digest) = end(&tx)?;
        if seq != expected {
            let found = seq;
            return Err(Trouble::WrongSeq { expected, found });
        }
        for event in &entry.events {
            seq += 1;
            digest = write(&tx, seq, digest, entry, event)?;
        }
        tx.prepare_cached(
            "INSERT INTO shelf_commands (command, body, seq, at_ms) VALUES (?1, ?2, ?3, ?4)",
        )?
        .execute(params![
            entry.command.as_bytes(),
            entry.body.0,
            column(seq),
            entry.at.0
        ])?;
        tx.commit()?;
        Ok(seq)
    }
}

/// The newest moment of the shelf.
pub(super) fn last_at(connection: &Connection) -> Result<Option<Timestamp>, Trouble> {
    let last: Option<i64> =
        connection.query_row("SELECT max(at_ms) FROM shelf_events", [], |row| row.get(0))?;
    Ok(last.map(Timestamp))
}

fn end(connection: &Connection) -> Result<(u64, Digest), Trouble> {
    let found = connection
        .prepare_cached("SELECT seq, digest FROM shelf_events ORDER BY seq DESC LIMIT 1")?
        .query_row([], |row| Ok((seq_of(row, 0)?, row.get::<_, Vec<u8>>(1)?)))
        .optional()?;
    let Some((seq, digest)) = found else {
        return Ok((0, Digest::START));
    };
    let digest =
        Digest::stored(&digest).ok_or_else(|| damaged(CHAIN, seq, "its digest is no digest"))?;
    Ok((seq, digest))
}

fn write(
    connection: &Connection,
    seq: u64,
    before: Digest,
    entry: &ShelfEntry,
    event: &Event,
) -> Result<Digest, Trouble> {
    let storage = |error: serde_json::Error| Trouble::Storage(error.to_string());
    let value = serde_json::to_value(event).map_err(storage)?;
    let kind = value["fact"].as_str().unwrap_or_default();
    let body = value.to_string();
    let link = Link {
        day: CHAIN,
        seq,
        at: entry.at,
        command: entry.command,
        role: role_text(entry.role),
        kind,
        version: VERSION,
        body: &body,
    };
    let digest = link.digest(before);
    connection
        .prepare_cached(
            "INSERT INTO shelf_events (seq, at_ms, command, role, kind, version, body, digest)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?
        .execute(params![
            column(seq),
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

/// The record and its digest, if the row is number `seq` and chained to `before`.
fn checked(row: StoredEvent, seq: u64, before: Digest) -> Result<(Record, Digest), Trouble> {
    let (command, digest) = row.linked(CHAIN, seq, before)?;
    let unknown = || Trouble::UnknownEvent {
        day: CHAIN.to_owned(),
        seq,
    };
    let known = (row.version == VERSION)
        .then(|| serde_json::from_str(&row.body).ok())
        .flatten();
    let record = Record {
        seq,
        at: row.at,
        command,
        role: role_from(&row.role).ok_or_else(unknown)?,
        event: known.ok_or_else(unknown)?,
    };
    Ok((record, digest))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::shelf::Event;

    fn entry(id: u128, packages: i64) -> ShelfEntry {
        let event: Event = serde_json::from_value(serde_json::json!({
            "fact": "taken", "lot": {"day": "plums", "code": "260912-K1"}, "place": "pantry",
            "packages": packages,
        }))
        .unwrap();
        ShelfEntry {
            command: Uuid::from_u128(id),
            body: Digest::of(&packages.to_le_bytes()),
            at: Timestamp(1000 + packages),
            role: Role::Helper,
            events: vec![event],
        }
    }

    fn book() -> (tempfile::TempDir, ShelfBook) {
        let folder = tempfile::tempdir().unwrap();
        let book = ShelfBook::open(&folder.path().join("putby.db")).unwrap();
        (folder, book)
    }

    #[test]
    fn what_was_written_is_read_again_in_order_and_found_by_its_command() {
        let (folder, mut book) = book();
        assert_eq!(book.append(0, &entry(1, 1000)).unwrap(), 1);
        assert_eq!(book.append(1, &entry(2, 2000)).unwrap(), 2);
        drop(book);
        let book = ShelfBook::open(&folder.path().join("putby.db")).unwrap();
        let all = book.all().unwrap();
        assert_eq!(all.len(), 2);
        assert_eq!((all[1].seq, all[1].at), (2, Timestamp(3000)));
        assert_eq!(all[1].event, entry(2, 2000).events[0]);
        assert_eq!(book.find(Uuid::from_u128(2)).unwrap().unwrap().seq, 2);
        assert_eq!(book.find(Uuid::from_u128(3)).unwrap(), None);
        assert_eq!(last_at(&book.connection).unwrap(), Some(Timestamp(3000)));
    }

    #[test]
    fn a_command_is_stored_once_and_nothing_is_written_past_another_writer() {
        let (_folder, mut book) = book();
        book.append(0, &entry(1, 1000)).unwrap();
        assert!(book.append(1, &entry(1, 2000)).is_err());
        let past = book.append(0, &entry(2, 2000));
        assert!(matches!(
            past,
            Err(Trouble::WrongSeq {
                expected: 0,
                found: 1
            })
        ));
        assert_eq!(book.all().unwrap().len(), 1);
    }

    #[test]
    fn a_changed_or_missing_event_is_found_and_named() {
        for (change, seq) in [
            (
                "UPDATE shelf_events SET body = replace(body, '2000', '1000') WHERE seq = 2",
                2,
            ),
            ("UPDATE shelf_events SET at_ms = 1 WHERE seq = 1", 1),
            ("UPDATE shelf_events SET role = 'lead' WHERE seq = 3", 3),
            ("DELETE FROM shelf_events WHERE seq = 2", 2),
        ] {
            let (_folder, mut book) = book();
            for id in 1..=3 {
                let packages = i64::try_from(id).unwrap() * 1000;
                book.append(id - 1, &entry(u128::from(id), packages))
                    .unwrap();
            }
            book.connection.execute(change, []).unwrap();
            match book.all() {
                Err(Trouble::Damaged { seq: found, .. }) => assert_eq!(found, seq, "{change}"),
                other => panic!("{change}: {other:?}"),
            }
        }
    }
}
