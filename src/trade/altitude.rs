//! Altitudes given in metres, counted in the feet of the tables.
//!
//! For kitchens that know their height in metres. Not for choosing a band. Invariant: the feet are
//! rounded up exactly, without floating point, so that a band is never under-stated.

use std::str::FromStr;

/// Altitudes in feet above this are taken for a slip of the pen; the highest lasting homes are
/// near 17,000 ft (common practice, no source).
pub const HIGHEST_ALTITUDE_FT: i32 = 20_000;

/// A length in whole millimetres, read from metres with decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Metres(i64);

impl Metres {
    /// The length in feet, rounded up, so that an altitude band is never under-stated.
    pub fn feet_up(self) -> i32 {
        let tenths = self.0.saturating_mul(10);
        let feet = tenths.div_euclid(3048) + i64::from(tenths.rem_euclid(3048) != 0);
        i32::try_from(feet).unwrap_or(if feet < 0 { i32::MIN } else { i32::MAX })
    }
}

impl FromStr for Metres {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" must be metres such as 420 or 420.5");
        let (sign, digits) = text.strip_prefix('-').map_or((1, text), |rest| (-1, rest));
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let is_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
        if whole.is_empty() || fraction.len() > 3 || !is_digits(whole) || !is_digits(fraction) {
            return Err(wrong());
        }
        let padded = format!("{whole}{fraction:0<3}");
        padded
            .parse::<i64>()
            .map(|millimetres| Self(sign * millimetres))
            .map_err(|_| wrong())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn feet(text: &str) -> i32 {
        text.parse::<Metres>().unwrap().feet_up()
    }

    // One foot is 0.3048 m exactly (international foot).
    #[test]
    fn metres_become_the_next_whole_foot_up() {
        assert_eq!(feet("0"), 0);
        assert_eq!(feet("0.001"), 1);
        assert_eq!(feet("304.8"), 1000);
        assert_eq!(feet("304.801"), 1001);
        assert_eq!(feet("305"), 1001);
        assert_eq!(feet("914.4"), 3000);
        assert_eq!(feet("1828.8"), 6000);
        assert_eq!(feet("1829"), 6001);
        assert_eq!(feet("-0.3"), 0);
        assert_eq!(feet("-1"), -3);
        assert_eq!(feet("9000000000000"), i32::MAX);
    }

    #[test]
    fn what_is_no_length_in_metres_is_refused() {
        for broken in [
            "",
            "-",
            "1e3",
            "12 m",
            "1.2345",
            ".5",
            "--1",
            "99999999999999999999",
        ] {
            assert!(broken.parse::<Metres>().is_err(), "{broken}");
        }
    }
}
