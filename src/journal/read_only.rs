//! A journal that is only looked at: nothing of it is written, and a server may be at work on it.

use super::rows::known_end;
use super::shelf::ShelfBook;
use super::sqlite::SqliteJournal;
use super::{Digest, Journal, Trouble, schema, sound};
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use rusqlite::{Connection, OpenFlags};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How every file of the database begins.
const HEAD: &[u8] = b"SQLite format 3\0";
/// How many faults of the file are told.
const FAULTS_MOST: u32 = 20;

/// A journal of any form this version knows, to be read.
pub struct ReadOnly {
    journal: SqliteJournal,
    path: PathBuf,
    form: i64,
}

/// Where a chain ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Head {
    /// The number of its last event.
    pub seq: u64,
    /// When that happened.
    pub at: Timestamp,
    /// Its digest, which is of all before it too.
    pub digest: Digest,
}

impl ReadOnly {
    /// Opens it.
    ///
    /// # Errors
    /// There is no such file, it is no journal, it is damaged beyond opening, or of a newer form.
    pub fn open(path: &Path) -> Result<ReadOnly, Trouble> {
        let connection = connect(path)?;
        let form = schema::form(&connection)?;
        if form > schema::FORM {
            let known = schema::FORM;
            return Err(Trouble::Newer { found: form, known });
        }
        if form < 1 {
            return Err(Trouble::Malformed(
                "it is a database, but no journal".to_owned(),
            ));
        }
        Ok(ReadOnly {
            journal: SqliteJournal { connection },
            path: path.to_owned(),
            form,
        })
    }

    /// How many migrations made its tables.
    pub fn form(&self) -> i64 {
        self.form
    }

    /// The days' events.
    pub fn journal(&self) -> &dyn Journal {
        &self.journal
    }

    /// The shelf's events; `None` in a form that had no shelf.
    ///
    /// # Errors
    /// It cannot be opened.
    pub fn shelf(&self) -> Result<Option<ShelfBook>, Trouble> {
        if self.form < schema::FORM_WITH_SHELF {
            return Ok(None);
        }
        let connection = connect(&self.path)?;
        Ok(Some(ShelfBook { connection }))
    }

    /// What the database finds wrong with its own file; nothing if it is sound.
    ///
    /// # Errors
    /// The disk failed.
    pub fn faults_of_file(&self) -> Result<Vec<String>, Trouble> {
        sound::of_file(self.connection(), FAULTS_MOST)
    }

    /// The ids of all days, as they are stored: by damage one may be no id.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn days(&self) -> Result<Vec<String>, Trouble> {
        let mut select = self
            .connection()
            .prepare("SELECT day FROM days UNION SELECT DISTINCT day FROM events ORDER BY 1")?;
        let rows = select.query_map([], |row| {
            let bytes = row.get_ref(0)?.as_bytes()?;
            Ok(String::from_utf8_lossy(bytes).into_owned())
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The number of a day's last event, 0 where there is none; `None` where its end is damaged.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn end(&self, day: &DayId) -> Result<Option<u64>, Trouble> {
        Ok(known_end(self.connection(), day)?.map(|end| end.seq))
    }

    /// Where each day ends. A day whose end cannot be read is left out.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn heads(&self) -> Result<BTreeMap<String, Head>, Trouble> {
        let mut heads = BTreeMap::new();
        for day in self.days()? {
            let Ok(id) = DayId::try_from(day.as_str()) else {
                continue;
            };
            if let Some(end) = known_end(self.connection(), &id)? {
                let (seq, at, digest) = (end.seq, end.at, end.digest);
                heads.insert(day, Head { seq, at, digest });
            }
        }
        Ok(heads)
    }

    /// The newest moment of any day and of the shelf.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn last_at(&self) -> Result<Option<Timestamp>, Trouble> {
        let days = self.heads()?.values().map(|head| head.at).max();
        let shelf = match self.form < schema::FORM_WITH_SHELF {
            true => None,
            false => super::shelf::last_at(self.connection())?,
        };
        Ok(days.max(shelf))
    }

    /// A digest that is another as soon as any day, the shelf or what was learned has gone on. It
    /// reads the ends alone.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn mark(&self) -> Result<Digest, Trouble> {
        let mut hash = Sha256::new();
        for (day, head) in self.heads()? {
            hash.update(day.as_bytes());
            hash.update(head.digest.0);
            hash.update(head.seq.to_le_bytes());
        }
        let ends = [
            (2, "SELECT coalesce(max(seq), 0) FROM corrections"),
            (
                schema::FORM_WITH_SHELF,
                "SELECT coalesce(max(seq), 0) FROM shelf_events",
            ),
        ];
        for (_, end) in ends.iter().filter(|(since, _)| self.form >= *since) {
            let seq: i64 = self.connection().query_row(end, [], |row| row.get(0))?;
            hash.update(seq.to_le_bytes());
        }
        Ok(Digest(hash.finalize().into()))
    }

    pub(super) fn connection(&self) -> &Connection {
        &self.journal.connection
    }
}

/// The file beside the journal at `path` that holds what was written and is not folded in. It is
/// there while somebody has the journal open, and after a crash.
pub fn log_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    PathBuf::from(name)
}

/// Folds what was written into the journal's own file and takes the log away. Nobody else may have
/// the journal open.
///
/// # Errors
/// The journal is damaged or cannot be written.
pub fn fold_log(path: &Path) -> Result<(), Trouble> {
    must_begin_well(path)?;
    let connection = Connection::open(path)?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    let busy: i64 =
        connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
    if busy != 0 {
        let why = "somebody else has the journal open";
        return Err(Trouble::Storage(why.to_owned()));
    }
    connection.close().map_err(|(_, error)| error.into())
}

/// Refuses what the database would take for a new file: it would throw away the log beside it.
pub(super) fn must_begin_well(path: &Path) -> Result<(), Trouble> {
    let unread = |error: std::io::Error| Trouble::Storage(format!("{}: {error}", path.display()));
    let mut head = Vec::new();
    let file = File::open(path).map_err(unread)?;
    file.take(HEAD.len() as u64)
        .read_to_end(&mut head)
        .map_err(unread)?;
    match head == HEAD {
        true => Ok(()),
        false => Err(Trouble::Malformed(format!(
            "{} does not begin as a database does",
            path.display()
        ))),
    }
}

fn connect(path: &Path) -> Result<Connection, Trouble> {
    must_begin_well(path)?;
    // Without a log nobody writes, and nothing need be put beside the file to read it.
    let calm = if log_of(path).exists() {
        ""
    } else {
        "&immutable=1"
    };
    let address = format!("file:{}?mode=ro{calm}", escaped(path)?);
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(address, flags)?;
    connection.busy_timeout(Duration::from_secs(5))?;
    Ok(connection)
}

/// The path as it stands in the address of a file.
fn escaped(path: &Path) -> Result<String, Trouble> {
    let unnamed = || Trouble::Storage(format!("{} is no name in UTF-8", path.display()));
    let text = std::path::absolute(path)
        .ok()
        .and_then(|path| path.to_str().map(str::to_owned))
        .ok_or_else(unnamed)?;
    let escape = |c: char| match c {
        '%' => "%25".to_owned(),
        '?' => "%3f".to_owned(),
        '#' => "%23".to_owned(),
        c => c.to_string(),
    };
    Ok(text.chars().map(escape).collect())
}
