//! The tables, as an ordered list of migrations, and how a connection is set up.
//!
//! A migration that has been released is never edited; a new one is added below it. The number of
//! migrations done is the file's `user_version`.

use super::copy::{Identity, copy};
use super::read_only::{log_of, must_begin_well};
use super::{Digest, JournalId, Trouble};
use rusqlite::{Connection, TransactionBehavior};
use std::path::Path;
use std::time::Duration;

/// The newest form: how many migrations there are.
pub const FORM: i64 = MIGRATIONS.len() as i64;
/// The first form with a shelf.
pub(super) const FORM_WITH_SHELF: i64 = 3;
/// The folder beside the journal in which copies of it are kept.
pub const COPIES: &str = "copies";

const MIGRATIONS: &[&str] = &[
    "CREATE TABLE days (
        day       TEXT PRIMARY KEY,
        opened_by BLOB NOT NULL
    ) STRICT;
    CREATE UNIQUE INDEX days_opened_by ON days (opened_by);

    CREATE TABLE events (
        day     TEXT    NOT NULL REFERENCES days (day),
        seq     INTEGER NOT NULL,
        at_ms   INTEGER NOT NULL,
        command BLOB    NOT NULL,
        role    TEXT    NOT NULL,
        kind    TEXT    NOT NULL,
        version INTEGER NOT NULL,
        body    TEXT    NOT NULL,
        digest  BLOB    NOT NULL,
        PRIMARY KEY (day, seq)
    ) STRICT, WITHOUT ROWID;
    -- What a list of days is folded from, found without reading whole days.
    CREATE INDEX events_headings ON events (day, seq)
        WHERE kind IN ('day-opened', 'day-changed', 'day-closed');

    CREATE TABLE commands (
        day     TEXT    NOT NULL REFERENCES days (day),
        command BLOB    NOT NULL,
        body    BLOB    NOT NULL,
        seq     INTEGER NOT NULL,
        at_ms   INTEGER NOT NULL,
        PRIMARY KEY (day, command)
    ) STRICT, WITHOUT ROWID;

    CREATE TABLE snapshots (
        day     TEXT    PRIMARY KEY REFERENCES days (day),
        seq     INTEGER NOT NULL,
        version TEXT    NOT NULL,
        body    BLOB    NOT NULL,
        -- Of the body itself, and of the event it was taken after.
        own     BLOB    NOT NULL,
        digest  BLOB    NOT NULL
    ) STRICT, WITHOUT ROWID;

    -- Which devices may do more or less than help; by the digest of their secret.
    CREATE TABLE roles (
        device BLOB PRIMARY KEY,
        role   TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;",
    "-- What the lead said of what was learned, in the order in which it was said.
    CREATE TABLE corrections (
        seq   INTEGER PRIMARY KEY AUTOINCREMENT,
        id    BLOB    NOT NULL UNIQUE,
        at_ms INTEGER NOT NULL,
        body  TEXT    NOT NULL
    ) STRICT;",
    // What became of the packages of all days: a chain of its own, beside those of the days.
    "CREATE TABLE shelf_events (
        seq     INTEGER PRIMARY KEY,
        at_ms   INTEGER NOT NULL,
        command BLOB    NOT NULL,
        role    TEXT    NOT NULL,
        kind    TEXT    NOT NULL,
        version INTEGER NOT NULL,
        body    TEXT    NOT NULL,
        digest  BLOB    NOT NULL
    ) STRICT;

    CREATE TABLE shelf_commands (
        command BLOB    PRIMARY KEY,
        body    BLOB    NOT NULL,
        seq     INTEGER NOT NULL,
        at_ms   INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;",
    // Every device that was let in, where before only the lead's and the walls' were written down;
    // those who only helped come in anew, by the code.
    "CREATE TABLE devices (
        device       BLOB    PRIMARY KEY,
        role         TEXT    NOT NULL,
        came_by      TEXT    NOT NULL,
        name         TEXT    NOT NULL,
        browser      TEXT    NOT NULL,
        system       TEXT    NOT NULL,
        joined_at_ms INTEGER NOT NULL,
        seen_at_ms   INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;
    INSERT INTO devices SELECT device, role, 'before', '', '', '', 0, 0 FROM roles;
    DROP TABLE roles;

    -- What opens the board: the code to join by, the link of the walls, and what the lead lets be
    -- seen of them.
    CREATE TABLE doors (
        door  TEXT PRIMARY KEY,
        opens TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;",
];

/// Opens the file at `path`, makes it if there is none, and prepares it.
///
/// # Errors
/// As [`prepare`], it cannot be opened, or it is of an older form and cannot be copied.
pub(super) fn open(path: &Path) -> Result<Connection, Trouble> {
    if log_of(path).exists() {
        must_begin_well(path)?;
    }
    let mut connection = Connection::open(path)?;
    if (1..FORM).contains(&form(&connection)?) {
        keep_older(path)?;
    }
    prepare(&mut connection)?;
    Ok(connection)
}

/// Sets a connection up and brings the file to the newest form.
///
/// # Errors
/// The file is of a newer form (it is left untouched), no database, or cannot be written.
pub(super) fn prepare(connection: &mut Connection) -> Result<(), Trouble> {
    connection.busy_timeout(Duration::from_secs(5))?;
    let (found, known) = (form(connection)?, FORM);
    if found > known {
        return Err(Trouble::Newer { found, known });
    }
    connection.pragma_update(None, "journal_mode", "WAL")?;
    // FULL syncs the log at each commit: acknowledged means on disk. NORMAL may lose the last
    // commits in a power cut.
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    migrate(connection, MIGRATIONS)?;
    JournalId::ensure(connection)
}

/// Copies a journal of an older form before anything of it is changed. Such copies are never taken
/// away: there are as few of them as there are versions.
fn keep_older(path: &Path) -> Result<(), Trouble> {
    let folder = path.with_file_name(COPIES);
    let failed = |error: std::io::Error| {
        let from = path.display();
        Trouble::Storage(format!(
            "{from} is of an older form and cannot be copied before it is changed ({error}): make \
             room on the disk and start again; nothing was changed"
        ))
    };
    std::fs::create_dir_all(&folder).map_err(failed)?;
    let part = folder.join("older.part");
    copy(path, &part, Identity::Same)?;
    let bytes = std::fs::read(&part).map_err(failed)?;
    // Named by what it holds: another journal never takes its place, the same one has it already.
    let name = hex::encode(&Digest::of(&bytes).0[..4]);
    std::fs::rename(&part, folder.join(format!("before-form-{FORM}-{name}.db"))).map_err(failed)?;
    sync_folder(&folder).map_err(failed)
}

/// Makes sure that what was done to the names in a folder is on the disk.
///
/// # Errors
/// The disk did not confirm it.
pub fn sync_folder(folder: &Path) -> std::io::Result<()> {
    std::fs::File::open(folder)?.sync_all()
}

/// Brings a file up to the last of `migrations`, all of them or none.
fn migrate(connection: &mut Connection, migrations: &[&str]) -> Result<(), Trouble> {
    let known = i64::try_from(migrations.len()).unwrap_or(i64::MAX);
    if form(connection)? >= known {
        return Ok(());
    }
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Asked again inside: another thread may have been first.
    let done = usize::try_from(form(&tx)?).unwrap_or(0);
    for migration in migrations.iter().skip(done) {
        tx.execute_batch(migration)?;
    }
    tx.pragma_update(None, "user_version", known)?;
    tx.commit()?;
    Ok(())
}

pub(super) fn form(connection: &Connection) -> Result<i64, Trouble> {
    Ok(connection.pragma_query_value(None, "user_version", |row| row.get(0))?)
}

/// Makes the tables as they were in an earlier form.
#[cfg(test)]
pub(super) fn migrate_to(connection: &mut Connection, form: i64) -> Result<(), Trouble> {
    let count = usize::try_from(form).unwrap_or_default();
    migrate(connection, &MIGRATIONS[..count])
}
