//! A copy of the journal's file as it is at one moment, while others write.

use super::read_only::ReadOnly;
use super::{JournalId, Trouble};
use rusqlite::Connection;
use rusqlite::backup::Backup;
use std::fs::{File, OpenOptions};
use std::path::Path;
use std::time::Duration;

/// How long it is waited before a page is asked for again that somebody holds.
const PAUSE: Duration = Duration::from_millis(20);

/// Which journal the copy is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Identity {
    /// The same: it is put aside.
    Same,
    /// Another: it is to be worked with, beside or in the place of the first.
    New,
}

/// Copies the journal at `from` into a new file at `to`, readable by its owner alone, and returns
/// when it is on the disk. One file, to be used without any other beside it. What was at `to` is
/// written over.
///
/// # Errors
/// The journal cannot be read, is of a newer form, or the copy cannot be written.
pub fn copy(from: &Path, to: &Path, identity: Identity) -> Result<(), Trouble> {
    let source = ReadOnly::open(from)?;
    emptied(to).map_err(|error| unwritten(to, &error))?;
    let mut target = Connection::open(to)?;
    // All pages in one go: a copy in parts begins again whenever somebody writes.
    Backup::new(source.connection(), &mut target)?.run_to_completion(i32::MAX, PAUSE, None)?;
    target.pragma_update(None, "journal_mode", "DELETE")?;
    if identity == Identity::New {
        JournalId::random().store(&target)?;
    }
    target.close().map_err(|(_, error)| error)?;
    let file = File::open(to).map_err(|error| unwritten(to, &error))?;
    file.sync_all().map_err(|error| unwritten(to, &error))
}

/// What an earlier try left half done goes too: its log must not meet this copy.
fn emptied(path: &Path) -> std::io::Result<()> {
    for ending in ["-journal", "-wal", "-shm"] {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        match std::fs::remove_file(&name) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
    }
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path).map(drop)
}

fn unwritten(path: &Path, error: &std::io::Error) -> Trouble {
    Trouble::Storage(format!("cannot write {}: {error}", path.display()))
}
