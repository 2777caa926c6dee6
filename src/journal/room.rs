//! Whether the disk takes writes again, tried out by writing.
//!
//! A scratch file shows that there is room for more than the next tap, so that a board does not
//! turn back and forth at the edge; a row's worth in the journal's own file shows that this one
//! takes it too. Nothing that is stored is changed.

use super::{Trouble, schema};
use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

/// More than a group of taps and a snapshot need.
const ROOM_BYTES: usize = 128 << 10;

/// Writes, syncs and takes away again a scratch file in `folder`; then writes into the journal's
/// file `store`, what stands there already. Blocks.
///
/// # Errors
/// The disk took one of them not.
pub fn try_to_write(folder: &Path, store: &Path) -> Result<(), Trouble> {
    let scratch = folder.join("room");
    let written = fill(&scratch);
    let removed = std::fs::remove_file(&scratch);
    written.and(removed).map_err(trouble)?;
    let connection = schema::open(store)?;
    let form: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    connection.pragma_update(None, "user_version", form)?;
    Ok(())
}

fn fill(scratch: &Path) -> io::Result<()> {
    let mut file = File::create(scratch)?;
    file.write_all(&vec![0; ROOM_BYTES])?;
    file.sync_all()
}

fn trouble(error: io::Error) -> Trouble {
    match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            Trouble::Full(error.to_string())
        }
        _ => Trouble::Unwritable(error.to_string()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::journal::SqliteJournal;

    #[test]
    fn a_disk_with_room_takes_it_and_nothing_is_left_behind() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        drop(SqliteJournal::open(&store).unwrap());
        try_to_write(folder.path(), &store).unwrap();
        assert!(!folder.path().join("room").exists());
        assert!(SqliteJournal::open(&store).is_ok());
    }

    #[test]
    fn what_cannot_be_written_is_said() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        let gone = folder.path().join("gone");
        let tried = try_to_write(&gone, &store);
        assert!(matches!(tried, Err(Trouble::Unwritable(_))), "{tried:?}");
    }
}
