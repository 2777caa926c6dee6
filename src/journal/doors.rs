//! What opens the board to devices and who may see it, as the lead left it: texts by name.
//!
//! What a door is and what opens it is not known here.

use super::{Trouble, schema};
use rusqlite::{Connection, params};
use std::collections::BTreeMap;
use std::path::Path;

/// The stored doors.
pub struct DoorBook {
    connection: Connection,
}

impl DoorBook {
    /// Opens the store at `path`.
    ///
    /// # Errors
    /// It cannot be opened or a newer program wrote it.
    pub fn open(path: &Path) -> Result<DoorBook, Trouble> {
        Ok(DoorBook {
            connection: schema::open(path)?,
        })
    }

    /// All that is kept.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn all(&self) -> Result<BTreeMap<String, String>, Trouble> {
        let mut select = self.connection.prepare("SELECT door, opens FROM doors")?;
        let rows = select.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Keeps what opens a door.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn keep(&self, door: &str, opens: &str) -> Result<(), Trouble> {
        self.connection.execute(
            "INSERT INTO doors (door, opens) VALUES (?1, ?2)
             ON CONFLICT (door) DO UPDATE SET opens = excluded.opens",
            params![door, opens],
        )?;
        Ok(())
    }
}
