//! The chain of digests: each event's covers the one before, so nothing can change unnoticed.
//!
//! Every field is written with its length or in fixed width, so that two different events never
//! digest the same bytes.

use crate::day::time::Timestamp;
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

/// A SHA-256.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Digest(pub [u8; 32]);

impl Digest {
    /// What the first event of a day is chained to.
    pub const START: Digest = Digest([0; 32]);

    /// The digest of plain bytes.
    pub fn of(bytes: &[u8]) -> Digest {
        Digest(Sha256::digest(bytes).into())
    }

    /// From a stored column; `None` unless it has 32 bytes.
    pub(super) fn stored(bytes: &[u8]) -> Option<Digest> {
        bytes.try_into().ok().map(Digest)
    }
}

impl std::fmt::Debug for Digest {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&hex::encode(&self.0[..6]))
    }
}

/// An event as it is stored, without its own digest.
pub(super) struct Link<'a> {
    /// The day's id, or what stands in its place in another chain.
    pub day: &'a str,
    pub seq: u64,
    pub at: Timestamp,
    pub command: Uuid,
    pub role: &'a str,
    pub kind: &'a str,
    pub version: u32,
    pub body: &'a str,
}

impl Link<'_> {
    /// Its digest, chained to the one before.
    pub fn digest(&self, before: Digest) -> Digest {
        let mut hash = Sha256::new();
        hash.update(before.0);
        hash.update(self.seq.to_le_bytes());
        hash.update(self.at.0.to_le_bytes());
        hash.update(self.command.as_bytes());
        hash.update(self.version.to_le_bytes());
        for text in [self.day, self.role, self.kind, self.body] {
            hash.update((text.len() as u64).to_le_bytes());
            hash.update(text.as_bytes());
        }
        Digest(hash.finalize().into())
    }
}
