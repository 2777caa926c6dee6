//! Small files of the data folder that are their owner's alone: keys and certificates.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

/// Puts `text` in the place of what the file `name` of a folder held, all of it or nothing. Nobody
/// but the folder's owner may read it.
///
/// # Errors
/// It cannot be written; what was there stays.
pub fn keep(folder: &Path, name: &str, text: &str) -> io::Result<()> {
    let part = folder.join(format!("{name}.part"));
    let mut options = File::options();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut out = options.open(&part)?;
    #[cfg(unix)]
    hand_over(&out, folder)?;
    out.write_all(text.as_bytes())?;
    out.sync_all()?;
    std::fs::rename(&part, folder.join(name))?;
    crate::journal::sync_folder(folder)
}

/// Gives a file to whoever the folder belongs to: an administrator may make a key for a board that
/// runs as a user of its own.
#[cfg(unix)]
fn hand_over(file: &File, folder: &Path) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, fchown};
    let (owner, maker) = (std::fs::metadata(folder)?, file.metadata()?);
    if owner.uid() == maker.uid() {
        return Ok(());
    }
    fchown(file, Some(owner.uid()), Some(owner.gid()))
}
