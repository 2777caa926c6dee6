//! Brings everything that was written into the journal's one file, so that copying it is enough.

use super::{Trouble, schema};
use std::path::Path;

/// Empties the log that is kept beside the file while it is written. Readers may go on meanwhile.
///
/// # Errors
/// It cannot be opened or written; what was written stays where it is, and is not lost.
pub fn checkpoint(store: &Path) -> Result<(), Trouble> {
    let connection = schema::open(store)?;
    connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
    Ok(())
}
