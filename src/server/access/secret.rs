//! Random secrets, and whether two are the same.

use crate::journal::Digest;
use subtle::ConstantTimeEq;

/// Bytes of randomness in a key or a link: 128 bits cannot be guessed.
const KEY_BYTES: usize = 16;
/// Bytes of randomness in what a device is known by.
const DEVICE_BYTES: usize = 24;

/// A key of 128 bits, in hexadecimal digits.
pub fn new_key() -> String {
    hex::encode(rand::random::<[u8; KEY_BYTES]>())
}

/// Whether a text has the form of such a key.
pub fn is_key(text: &str) -> bool {
    text.len() == KEY_BYTES * 2 && is_hex(text)
}

/// What a device is known by: 192 bits, in hexadecimal digits.
pub fn new_device() -> String {
    hex::encode(rand::random::<[u8; DEVICE_BYTES]>())
}

/// Whether a text has the form of what a device is known by.
pub fn is_device(text: &str) -> bool {
    text.len() == DEVICE_BYTES * 2 && is_hex(text)
}

/// Whether two texts are equal, in a time that tells nothing of either.
pub fn is_same(one: &str, other: &str) -> bool {
    is_same_digest(Digest::of(one.as_bytes()), Digest::of(other.as_bytes()))
}

/// Whether two digests are equal, in a time that does not tell how far they agree.
pub fn is_same_digest(one: Digest, other: Digest) -> bool {
    one.0.ct_eq(&other.0).into()
}

fn is_hex(text: &str) -> bool {
    text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_are_of_their_form_and_never_the_same() {
        assert!(is_key(&new_key()) && is_device(&new_device()));
        assert_ne!(new_key(), new_key());
        assert_ne!(new_device(), new_device());
        assert!(!is_key(&new_device()) && !is_device("g".repeat(48).as_str()));
    }

    #[test]
    fn only_the_whole_text_is_the_same() {
        assert!(is_same("abc", "abc"));
        for wrong in ["", "ab", "abd", "abcd"] {
            assert!(!is_same("abc", wrong), "{wrong:?}");
        }
    }
}
