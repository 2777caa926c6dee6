//! The lead's key: made at the first start and shown then, once. Afterwards only its digest is in
//! the data folder.
//!
//! What it keeps true: the file is the truth, and is read whenever a key is tried, so that a new key
//! counts at once in a board that runs. It travels in the part of an address that browsers do not
//! send.

use super::secret;
use crate::journal::Digest;
use crate::server::own_file;
use std::io;
use std::path::{Path, PathBuf};

const NAME: &str = "lead-key";
/// How the file says that it holds a digest.
const SAYS_DIGEST: &str = "sha256:";

/// The key of a data folder, which nobody can read out of it.
pub struct LeadKey {
    file: PathBuf,
}

impl LeadKey {
    /// The key of the folder, made if there is none. Beside it the key in plain, when it is shown for
    /// the only time: it is new, or an earlier version kept it in plain and its digest is put in its
    /// place now.
    ///
    /// # Errors
    /// The file cannot be read or made, or holds no key.
    pub fn open(folder: &Path) -> io::Result<(LeadKey, Option<String>)> {
        let file = file_in(folder);
        let shown = match std::fs::read_to_string(&file) {
            Ok(text) if digest_in(&text).is_some() => None,
            Ok(text) if secret::is_key(text.trim()) => {
                let key = text.trim().to_owned();
                keep(folder, &key)?;
                Some(key)
            }
            Ok(_) => return Err(spoilt(&file)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Some(renew(folder)?),
            Err(error) => return Err(error),
        };
        Ok((LeadKey { file }, shown))
    }

    /// Whether this is the lead's key. Reads a short file.
    pub fn is(&self, key: &str) -> bool {
        if !secret::is_key(key) {
            return false;
        }
        let kept = std::fs::read_to_string(&self.file);
        let kept = kept.and_then(|text| digest_in(&text).ok_or_else(|| spoilt(&self.file)));
        match kept {
            Ok(digest) => secret::is_same_digest(digest, Digest::of(key.as_bytes())),
            Err(error) => {
                tracing::error!(%error, "the lead's key cannot be checked");
                false
            }
        }
    }
}

/// Makes another key for the folder; the one before opens nothing from now on.
///
/// # Errors
/// It cannot be written; the one before still holds then.
pub fn renew(folder: &Path) -> io::Result<String> {
    let key = secret::new_key();
    keep(folder, &key)?;
    Ok(key)
}

/// Puts the digest of `key` in the place of what was there, all of it or nothing.
fn keep(folder: &Path, key: &str) -> io::Result<()> {
    let digest = hex::encode(Digest::of(key.as_bytes()).0);
    own_file::keep(folder, NAME, &format!("{SAYS_DIGEST}{digest}\n"))
}

fn file_in(folder: &Path) -> PathBuf {
    folder.join(NAME)
}

fn digest_in(text: &str) -> Option<Digest> {
    let mut digest = [0; 32];
    hex::decode_to_slice(text.trim().strip_prefix(SAYS_DIGEST)?, &mut digest).ok()?;
    Some(Digest(digest))
}

fn spoilt(file: &Path) -> io::Error {
    let why = format!(
        "{} holds no lead key: take the file away, and the next start makes a new one",
        file.display()
    );
    io::Error::new(io::ErrorKind::InvalidData, why)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn text_in(folder: &Path) -> String {
        std::fs::read_to_string(file_in(folder)).unwrap()
    }

    #[cfg(unix)]
    #[test]
    fn a_key_that_an_administrator_makes_belongs_to_whoever_runs_the_board() {
        use std::os::unix::fs::{MetadataExt, chown};
        const BOARD: u32 = 4321;
        let folder = tempfile::tempdir().unwrap();
        if chown(folder.path(), Some(BOARD), Some(BOARD)).is_err() {
            eprintln!("SKIPPED, NOT PASSED: only an administrator can give files away");
            return;
        }
        renew(folder.path()).unwrap();
        let kept = std::fs::metadata(file_in(folder.path())).unwrap();
        assert_eq!((kept.uid(), kept.gid()), (BOARD, BOARD));
    }

    #[test]
    fn the_key_is_told_once_and_only_its_digest_is_kept_for_its_owner_alone() {
        let folder = tempfile::tempdir().unwrap();
        let (lead_key, shown) = LeadKey::open(folder.path()).unwrap();
        let key = shown.unwrap();
        assert_eq!(key.len(), 32);
        assert!(lead_key.is(&key) && !lead_key.is(&key[1..]) && !lead_key.is(""));
        assert!(!text_in(folder.path()).contains(&key));
        let (again, shown) = LeadKey::open(folder.path()).unwrap();
        assert_eq!(shown, None);
        assert!(again.is(&key));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let file = std::fs::metadata(file_in(folder.path())).unwrap();
            assert_eq!(file.permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn a_key_in_plain_is_told_a_last_time_and_its_digest_put_in_its_place() {
        let folder = tempfile::tempdir().unwrap();
        let old = "0123456789abcdef0123456789abcdef";
        std::fs::write(file_in(folder.path()), format!("{old}\n")).unwrap();
        let (lead_key, shown) = LeadKey::open(folder.path()).unwrap();
        assert_eq!(shown.as_deref(), Some(old));
        assert!(lead_key.is(old));
        assert!(!text_in(folder.path()).contains(old));
        assert_eq!(LeadKey::open(folder.path()).unwrap().1, None);
    }

    #[test]
    fn another_key_counts_at_once_and_the_one_before_no_more() {
        let folder = tempfile::tempdir().unwrap();
        let (lead_key, shown) = LeadKey::open(folder.path()).unwrap();
        let new = renew(folder.path()).unwrap();
        assert!(lead_key.is(&new));
        assert!(!lead_key.is(&shown.unwrap()));
    }

    #[test]
    fn a_spoilt_key_is_said_and_opens_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let (lead_key, shown) = LeadKey::open(folder.path()).unwrap();
        for spoilt in ["", "short", "zz".repeat(16).as_str(), "sha256:12"] {
            std::fs::write(file_in(folder.path()), spoilt).unwrap();
            assert!(LeadKey::open(folder.path()).is_err(), "{spoilt:?}");
            assert!(!lead_key.is(shown.as_deref().unwrap()), "{spoilt:?}");
        }
    }
}
