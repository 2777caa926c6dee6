//! Which journal this is: a random number in the header of its file.
//!
//! What it keeps true: a journal keeps its number for ever, whatever is added to it; a copy that is
//! put in its place gets another. So a device that had seen more than the copy knows of finds out,
//! even when the copy has by then gone on past it. The number is SQLite's `application_id`, which no
//! other program gives a meaning.

use super::{Trouble, schema};
use rusqlite::{Connection, TransactionBehavior};
use serde::{Serialize, Serializer};
use std::num::NonZeroI32;
use std::path::Path;
use uuid::Uuid;

/// A journal's number; on the wire eight hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JournalId(NonZeroI32);

impl JournalId {
    /// A number that no other journal has.
    pub fn random() -> JournalId {
        let [a, b, c, d, ..] = *Uuid::new_v4().as_bytes();
        let number = NonZeroI32::new(i32::from_be_bytes([a, b, c, d]));
        JournalId(number.unwrap_or(NonZeroI32::MIN))
    }

    /// The number of an open journal, which got one when it was opened.
    pub(super) fn of(connection: &Connection) -> Result<JournalId, Trouble> {
        match JournalId::stored(connection)? {
            Some(id) => Ok(id),
            None => Err(Trouble::Storage("the journal has no number".to_owned())),
        }
    }

    /// Gives a journal a number if it has none: it is new, or of a program that knew of none.
    pub(super) fn ensure(connection: &mut Connection) -> Result<(), Trouble> {
        if JournalId::stored(connection)?.is_some() {
            return Ok(());
        }
        let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Asked again inside: another thread may have been first.
        if JournalId::stored(&tx)?.is_none() {
            JournalId::random().store(&tx)?;
        }
        tx.commit()?;
        Ok(())
    }

    /// Gives a journal another number.
    pub(super) fn store(self, connection: &Connection) -> Result<(), Trouble> {
        Ok(connection.pragma_update(None, "application_id", self.0.get())?)
    }

    fn stored(connection: &Connection) -> Result<Option<JournalId>, Trouble> {
        let number = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
        Ok(NonZeroI32::new(number).map(JournalId))
    }
}

/// Gives the journal at `store` another number, as it is not what devices have seen of it any more.
///
/// # Errors
/// It cannot be opened or written.
pub fn renumber(store: &Path) -> Result<JournalId, Trouble> {
    let connection = schema::open(store)?;
    let id = JournalId::random();
    id.store(&connection)?;
    Ok(id)
}

impl Serialize for JournalId {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl std::fmt::Display for JournalId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:08x}", self.0)
    }
}
