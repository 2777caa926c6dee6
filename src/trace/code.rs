//! Codes short enough for a label and safe to read aloud: `260912-K2`.
//!
//! Six digits of the date, letters for the load or the run of bags, a number for the product and lot
//! of fruit within it. Letters that look like digits or like each other (B, I, O, Q, S, Z ...) or
//! rhyme when spelled (C, D, E, G, P, T, V; A and J beside K; N beside M) are not used: common
//! practice, no source. Invariant: different places in the day's order give different codes.

use crate::day::ids::checked_text;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Spoken "eff, aitch, kay, ell, em, ar, tee, double-u, ex, wy".
const LETTERS: [char; 10] = ['F', 'H', 'K', 'L', 'M', 'R', 'T', 'W', 'X', 'Y'];

/// Why a text is no code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0:?} is no lot code: it is six digits, a hyphen, letters and a number, as 260912-K2")]
pub struct BadCode(pub String);

checked_text!(
    /// Packages that share their whole history: one product, one lot of fruit, one load or run.
    LotCode,
    "^[0-9]{6}-[FHKLMRTWXYfhklmrtwxy]{1,4}[1-9][0-9]{0,3}$"
);
checked_text!(
    /// All lots of one canner load or one run of bags: what is recalled together.
    BatchCode,
    "^[0-9]{6}-[FHKLMRTWXYfhklmrtwxy]{1,4}$"
);

impl BatchCode {
    /// The code of the load or run that was the `order`-th (from 0) of a civil date `YYYY-MM-DD`.
    pub(super) fn new(date: &str, order: usize) -> BatchCode {
        let digits: String = date.chars().filter(char::is_ascii_digit).collect();
        let short = digits.get(2..8).unwrap_or("000000");
        BatchCode(format!("{short}-{}", letters(order)))
    }

    /// The code of its `line`-th product and lot of fruit, from 1.
    pub(super) fn line(&self, line: usize) -> LotCode {
        LotCode(format!("{}{line}", self.0))
    }
}

impl LotCode {
    /// The load or run it is of.
    pub fn batch(&self) -> BatchCode {
        BatchCode(self.0.trim_end_matches(|c: char| c.is_ascii_digit()).into())
    }
}

/// F to Y, then FF to YY and on: numbers written with ten digits of which none is a zero.
fn letters(order: usize) -> String {
    let mut rest = order + 1;
    let mut written = Vec::new();
    while rest > 0 {
        rest -= 1;
        written.push(LETTERS[rest % LETTERS.len()]);
        rest /= LETTERS.len();
    }
    written.iter().rev().collect()
}

/// The parts of a code: its letters and what follows them; `None` if it begins otherwise. Typed
/// codes may be in small letters.
fn parts(text: &str) -> Option<(String, String)> {
    let (date, rest) = text.split_once('-')?;
    let plain = date.len() == 6 && date.bytes().all(|byte| byte.is_ascii_digit());
    let end = rest
        .find(|c: char| !c.is_ascii_alphabetic())
        .unwrap_or(rest.len());
    let (letters, line) = rest.split_at(end);
    let letters = letters.to_ascii_uppercase();
    let known = (1..=4).contains(&letters.len()) && letters.chars().all(|c| LETTERS.contains(&c));
    (plain && known).then(|| (format!("{date}-{letters}"), line.to_owned()))
}

impl TryFrom<String> for LotCode {
    type Error = BadCode;
    fn try_from(text: String) -> Result<LotCode, BadCode> {
        let number = |line: &str| {
            let digits = (1..=4).contains(&line.len()) && line.bytes().all(|b| b.is_ascii_digit());
            digits && !line.starts_with('0')
        };
        match parts(&text) {
            Some((batch, line)) if number(&line) => Ok(LotCode(batch + &line)),
            Some(_) | None => Err(BadCode(text)),
        }
    }
}

impl TryFrom<String> for BatchCode {
    type Error = BadCode;
    fn try_from(text: String) -> Result<BatchCode, BadCode> {
        match parts(&text) {
            Some((batch, line)) if line.is_empty() => Ok(BatchCode(batch)),
            Some(_) | None => Err(BadCode(text)),
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_place_in_a_day_has_a_code_of_its_own_that_is_read_back() {
        let codes: BTreeSet<LotCode> = (0..1200)
            .flat_map(|order| (1..=12).map(move |line| (order, line)))
            .map(|(order, line)| BatchCode::new("2026-09-12", order).line(line))
            .collect();
        assert_eq!(codes.len(), 1200 * 12);
        for code in codes {
            assert_eq!(LotCode::try_from(code.to_string()).unwrap(), code);
            assert_eq!(
                BatchCode::try_from(code.batch().to_string()).unwrap(),
                code.batch()
            );
        }
    }

    #[test]
    fn the_first_codes_of_a_day_are_short() {
        let code = |order| BatchCode::new("2026-09-12", order).line(1).to_string();
        assert_eq!(
            [0, 9, 10, 109, 110].map(code),
            [
                "260912-F1",
                "260912-Y1",
                "260912-FF1",
                "260912-YY1",
                "260912-FFF1"
            ]
        );
    }

    #[test]
    fn typed_in_small_letters_it_is_the_same_and_anything_else_is_refused() {
        assert_eq!(
            LotCode::try_from("260912-k2".to_owned()).unwrap().as_str(),
            "260912-K2"
        );
        for bad in [
            "",
            "260912",
            "260912-K",
            "260912-K0",
            "26091-K2",
            "260912-B2",
            "260912-K2x",
            "260912-2",
            "260912-KKKKK1",
            "é60912-K2",
        ] {
            assert!(LotCode::try_from(bad.to_owned()).is_err(), "{bad}");
        }
        assert!(BatchCode::try_from("260912-K2".to_owned()).is_err());
    }
}
