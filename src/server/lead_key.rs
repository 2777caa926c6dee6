//! The lead's key: made at the first start, shown in the terminal at every start.
//!
//! The lead must find it again after a restart, so it lies in the data folder, readable by the
//! owner of the folder alone. It travels in the part of an address that browsers do not send.

use std::io::{self, Write};
use std::path::Path;

/// Bytes of randomness: 128 bits cannot be guessed.
const KEY_BYTES: usize = 16;

/// The key of the data folder, made if there is none.
///
/// # Errors
/// The file cannot be read or made, or holds no key.
pub fn load_or_make(folder: &Path) -> io::Result<String> {
    let path = folder.join("lead-key");
    match std::fs::read_to_string(&path) {
        Ok(text) => checked(&path, text.trim()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => make(&path),
        Err(error) => Err(error),
    }
}

fn checked(path: &Path, key: &str) -> io::Result<String> {
    let whole = key.len() == KEY_BYTES * 2 && key.chars().all(|c| c.is_ascii_hexdigit());
    if whole {
        return Ok(key.to_owned());
    }
    let why = format!(
        "{} holds no lead key: take the file away, and the next start makes a new one",
        path.display()
    );
    Err(io::Error::new(io::ErrorKind::InvalidData, why))
}

fn make(path: &Path) -> io::Result<String> {
    let key = hex::encode(rand::random::<[u8; KEY_BYTES]>());
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    let written = writeln!(file, "{key}").and_then(|()| file.sync_all());
    if let Err(error) = written {
        // Half a key would stop every later start. If it cannot be removed, that start says so.
        let _ = std::fs::remove_file(path);
        return Err(error);
    }
    Ok(key)
}

/// Whether two texts are equal, in a time that does not tell how far they agree.
pub fn is_same(one: &str, other: &str) -> bool {
    let differing = one
        .bytes()
        .zip(other.bytes())
        .fold(0, |sum, (a, b)| sum | (a ^ b));
    one.len() == other.len() && differing == 0
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_key_is_made_once_and_only_for_its_owner() {
        let folder = tempfile::tempdir().unwrap();
        let key = load_or_make(folder.path()).unwrap();
        assert_eq!(key.len(), 32);
        assert_eq!(load_or_make(folder.path()).unwrap(), key);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let file = std::fs::metadata(folder.path().join("lead-key")).unwrap();
            assert_eq!(file.permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn a_spoilt_key_is_said_and_not_used() {
        let folder = tempfile::tempdir().unwrap();
        for spoilt in ["", "short", "zz".repeat(16).as_str()] {
            std::fs::write(folder.path().join("lead-key"), spoilt).unwrap();
            assert!(load_or_make(folder.path()).is_err(), "{spoilt:?}");
        }
    }

    #[test]
    fn only_the_whole_key_is_the_key() {
        assert!(is_same("abc", "abc"));
        for wrong in ["", "ab", "abd", "abcd"] {
            assert!(!is_same("abc", wrong), "{wrong:?}");
        }
    }
}
