//! Making one copy: written under another name, checked, on the disk, and only then called by its
//! own.

use super::check::{Found, Replayed, check_beyond};
use crate::journal::{self, Identity, Trouble, sync_folder};
use std::fs::{File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

/// Why no copy was made.
#[derive(Debug, thiserror::Error)]
pub enum CopyTrouble {
    /// There is something of that name.
    #[error("{} is there already, and nothing is written over unasked: choose another name, or say --replace", .0.display())]
    IsThere(PathBuf),
    /// Another program makes the same copy.
    #[error("{} is being made by another program", .0.display())]
    InHand(PathBuf),
    /// A copy would fill the disk.
    #[error("too little room is left on the disk for a copy in {}; what is free is for taps", .0.display())]
    NoRoom(PathBuf),
    /// The copy is not as the journal should be; it was not kept.
    #[error(
        "what was copied is damaged ({0}); nothing was written. Look at it with `putby check`, and \
         put a sound copy in its place with `putby restore`"
    )]
    Damaged(String),
    /// A file could not be written.
    #[error("cannot write {}: {error}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        error: io::Error,
    },
    /// The journal could not be read, or the copy not written.
    #[error(transparent)]
    Journal(#[from] Trouble),
}

/// What is done with a copy in which damage was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OfDamaged {
    /// It is no copy.
    Refused,
    /// It is as good as what it is of, which may be the only one.
    Kept,
}

/// Copies the journal at `from` to `to`, checked. A kill at any moment leaves what was at `to` or
/// the whole copy.
///
/// # Errors
/// There is something at `to` and it may not be replaced; the journal is damaged or of a newer form;
/// the copy cannot be written.
pub fn copy_to(from: &Path, to: &Path, replace: bool) -> Result<Found, CopyTrouble> {
    let is_there = || CopyTrouble::IsThere(to.to_owned());
    if to.exists() && !replace {
        return Err(is_there());
    }
    let part = Part::begin(to)?;
    let replayed = &mut Replayed::default();
    let found = part.fill(from, Identity::Same, OfDamaged::Refused, replayed)?;
    if to.exists() && !replace {
        return Err(is_there());
    }
    part.finish(to)?;
    Ok(found)
}

/// A copy on its way, under another name; it goes with this value unless it is finished.
pub(super) struct Part {
    path: PathBuf,
    /// Held, so that no other program writes the same.
    lock: File,
}

impl Part {
    /// Beside the place it is for, since only within one disk a file changes its name in one go.
    pub(super) fn begin(target: &Path) -> Result<Part, CopyTrouble> {
        let mut name = target.as_os_str().to_owned();
        name.push(".part");
        let path = PathBuf::from(name);
        let mut options = OpenOptions::new();
        options.write(true).create(true).truncate(false);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let lock = options
            .open(&path)
            .map_err(|error| file_trouble(&path, error))?;
        match lock.try_lock() {
            Ok(()) => Ok(Part { path, lock }),
            Err(std::fs::TryLockError::WouldBlock) => Err(CopyTrouble::InHand(target.to_owned())),
            Err(std::fs::TryLockError::Error(error)) => Err(file_trouble(&path, error)),
        }
    }

    /// Writes the copy and looks at it.
    pub(super) fn fill(
        &self,
        from: &Path,
        identity: Identity,
        of_damaged: OfDamaged,
        replayed: &mut Replayed,
    ) -> Result<Found, CopyTrouble> {
        journal::copy(from, &self.path, identity)?;
        let found = check_beyond(&self.path, replayed)?;
        match found.first_fault() {
            Some(fault) if of_damaged == OfDamaged::Refused => Err(CopyTrouble::Damaged(fault)),
            _ => Ok(found),
        }
    }

    /// Gives it its name, for good.
    pub(super) fn finish(self, target: &Path) -> Result<(), CopyTrouble> {
        let failed = |error| file_trouble(target, error);
        self.lock.sync_all().map_err(failed)?;
        std::fs::rename(&self.path, target).map_err(failed)?;
        sync_folder(folder_of(target)).map_err(failed)
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        // After it has its name there is none of this one; what else is left is of no use.
        let _ = std::fs::remove_file(&self.path);
    }
}

pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

pub(super) fn file_trouble(path: &Path, error: io::Error) -> CopyTrouble {
    CopyTrouble::File {
        path: path.to_owned(),
        error,
    }
}
