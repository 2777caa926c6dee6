//! Small files beside the journal that may be lost: what cannot be read is none, and nothing is synced,
//! so that the journal's own syncs wait for none of them.

use serde::Serialize;
use serde::de::DeserializeOwned;
use std::io;
use std::path::Path;

/// What the file `name` of a folder holds, if it is there and readable.
pub fn read<T: DeserializeOwned>(folder: &Path, name: &str) -> Option<T> {
    serde_json::from_slice(&std::fs::read(folder.join(name)).ok()?).ok()
}

/// Puts `what` in the place of what the file `name` of a folder held.
///
/// # Errors
/// It cannot be written; what was there stays.
pub fn keep<T: Serialize>(folder: &Path, name: &str, what: &T) -> io::Result<()> {
    let new = folder.join(format!("{name}.new"));
    std::fs::write(&new, serde_json::to_vec(what)?)?;
    std::fs::rename(new, folder.join(name))
}
