//! The code by which helpers join: short enough to read aloud, too many to try.
//!
//! Eight symbols of the 32 that D. Crockford's base 32 takes for people: no I, L, O or U, and what is
//! mistaken for a 1 or a 0 is read as one. 40 bits; `guessing` lets nobody try more than 30 a minute.

use super::secret;
use std::fmt;

const SYMBOLS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const LENGTH: usize = 8;
/// So many stand together when it is shown.
const GROUP: usize = 4;

/// A code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoinCode(String);

impl JoinCode {
    /// A random one.
    pub fn random() -> JoinCode {
        let symbol = |byte: u8| char::from(SYMBOLS[usize::from(byte) % SYMBOLS.len()]);
        JoinCode(rand::random::<[u8; LENGTH]>().map(symbol).iter().collect())
    }

    /// Reads what somebody typed: capitals, spaces and hyphens do not matter. `None` if it is no code
    /// at all.
    pub fn read(text: &str) -> Option<JoinCode> {
        // What is much longer was not typed.
        let typed = text.get(..text.len().min(64)).unwrap_or_default();
        let mut code = String::new();
        for c in typed.chars().filter(|c| !c.is_whitespace() && !is_dash(*c)) {
            let meant = match c.to_ascii_uppercase() {
                'O' => '0',
                'I' | 'L' => '1',
                other => other,
            };
            let known = u8::try_from(meant).is_ok_and(|byte| SYMBOLS.contains(&byte));
            known.then(|| code.push(meant))?;
        }
        (code.len() == LENGTH).then_some(JoinCode(code))
    }

    /// Whether this is the same code, in a time that tells nothing of either.
    pub fn is(&self, other: &JoinCode) -> bool {
        secret::is_same(&self.0, &other.0)
    }
}

fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '.' | '_')
}

/// In groups, as it is read aloud: `K7QM-3PXR`.
impl fmt::Display for JoinCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (first, second) = self.0.split_at(GROUP);
        write!(f, "{first}-{second}")
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_shown_in_groups_and_read_again() {
        for _ in 0..200 {
            let code = JoinCode::random();
            let shown = code.to_string();
            assert_eq!(shown.len(), 9);
            assert!(JoinCode::read(&shown).unwrap().is(&code));
        }
        assert_ne!(JoinCode::random(), JoinCode::random());
    }

    #[test]
    fn typing_is_forgiving() {
        let code = JoinCode("K0QM31XR".to_owned());
        for typed in [
            "K0QM-31XR",
            "k0qm31xr",
            " k0qm 31xr ",
            "KOQM-3LXR",
            "koqm–3ixr",
            "K-0-Q-M-3-1-X-R",
        ] {
            assert_eq!(JoinCode::read(typed).as_ref(), Some(&code), "{typed}");
        }
    }

    #[test]
    fn what_is_no_code_is_not_read_as_one() {
        for typed in [
            "",
            "K0QM31X",
            "K0QM31XRR",
            "K0QM31XU",
            "ÄÖÜß1234",
            "k0qm31x%",
        ] {
            assert_eq!(JoinCode::read(typed), None, "{typed}");
        }
        assert_eq!(JoinCode::read(&" ".repeat(10_000)), None);
    }
}
