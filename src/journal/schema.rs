//! The tables, as an ordered list of migrations, and how a connection is set up.
//!
//! A migration that has been released is never edited; a new one is added below it. The number of
//! migrations done is the file's `user_version`.

use super::Trouble;
use rusqlite::{Connection, TransactionBehavior};
use std::path::Path;
use std::time::Duration;

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
/// As [`prepare`], or it cannot be opened.
pub(super) fn open(path: &Path) -> Result<Connection, Trouble> {
    let mut connection = Connection::open(path)?;
    prepare(&mut connection)?;
    Ok(connection)
}

/// Sets a connection up and brings the file to the newest form.
///
/// # Errors
/// The file is of a newer form (it is left untouched), no database, or cannot be written.
pub(super) fn prepare(connection: &mut Connection) -> Result<(), Trouble> {
    connection.busy_timeout(Duration::from_secs(5))?;
    let known = i64::try_from(MIGRATIONS.len()).expect("a short list");
    if form(connection)? > known {
        let found = form(connection)?;
        return Err(Trouble::Newer { found, known });
    }
    connection.pragma_update(None, "journal_mode", "WAL")?;
    // FULL syncs the log at each commit: acknowledged means on disk. NORMAL may lose the last
    // commits in a power cut.
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    migrate(connection, known)
}

fn migrate(connection: &mut Connection, known: i64) -> Result<(), Trouble> {
    if form(connection)? == known {
        return Ok(());
    }
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Asked again inside: another thread may have been first.
    let done = usize::try_from(form(&tx)?).unwrap_or(0);
    for migration in MIGRATIONS.iter().skip(done) {
        tx.execute_batch(migration)?;
    }
    tx.pragma_update(None, "user_version", known)?;
    tx.commit()?;
    Ok(())
}

fn form(connection: &Connection) -> Result<i64, Trouble> {
    Ok(connection.pragma_query_value(None, "user_version", |row| row.get(0))?)
}
