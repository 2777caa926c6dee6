//! A digest as it stands in the file: 64 hexadecimal digits.

use crate::journal::Digest;
use serde::{Deserialize, Deserializer, de::Error};

/// A digest read from the file.
#[derive(Debug, Clone, Copy)]
pub(super) struct HexDigest(pub Digest);

impl<'de> Deserialize<'de> for HexDigest {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<HexDigest, D::Error> {
        let text = String::deserialize(from)?;
        let bytes = hex::decode(&text).ok();
        let digest = bytes.and_then(|bytes| Digest::stored(&bytes));
        digest
            .map(HexDigest)
            .ok_or_else(|| D::Error::custom("a digest must be 64 hexadecimal digits"))
    }
}
