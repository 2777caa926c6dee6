//! The folder in which one server keeps its files; no two servers use one at a time.

use std::fs::{DirBuilder, File, TryLockError};
use std::io;
use std::path::Path;

/// A data folder that is ours until this value goes.
pub struct DataFolder {
    _lock: File,
}

impl DataFolder {
    /// Makes the folder if it is not there, and claims it.
    ///
    /// # Errors
    /// It cannot be made, or another server uses it.
    pub fn claim(path: &Path) -> io::Result<DataFolder> {
        make(path)?;
        let lock = File::create(path.join("in-use"))?;
        match lock.try_lock() {
            Ok(()) => Ok(DataFolder { _lock: lock }),
            Err(TryLockError::WouldBlock) => Err(io::Error::new(
                io::ErrorKind::ResourceBusy,
                format!(
                    "another server uses {}: stop it, or start with another --data folder",
                    path.display()
                ),
            )),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// Makes the folder, for its owner alone.
pub(super) fn make(path: &Path) -> io::Result<()> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_has_one_server_at_a_time() {
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().join("new/data");
        let first = DataFolder::claim(&data).unwrap();
        assert!(DataFolder::claim(&data).is_err());
        drop(first);
        assert!(DataFolder::claim(&data).is_ok());
    }
}
