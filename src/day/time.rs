//! Moments and durations as integers; all arithmetic on time is here.
//!
//! The domain never reads a clock: every moment arrives with the command it belongs to.

use super::amount::{JSON_INTEGER_MAX, OutOfRange, json_integer};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Milliseconds since 1970-01-01T00:00:00Z, within what JSON carries exactly.
#[derive(
    Debug,
    Clone,
    Copy,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(try_from = "i64", into = "i64")]
#[schemars(extend("minimum" = -JSON_INTEGER_MAX, "maximum" = JSON_INTEGER_MAX))]
pub struct Timestamp(pub i64);

impl TryFrom<i64> for Timestamp {
    type Error = OutOfRange;
    fn try_from(number: i64) -> Result<Timestamp, OutOfRange> {
        json_integer(number).map(Timestamp)
    }
}

impl From<Timestamp> for i64 {
    fn from(moment: Timestamp) -> i64 {
        moment.0
    }
}

/// Milliseconds.
pub const SECOND_MS: i64 = 1000;
/// Milliseconds.
pub const MINUTE_MS: i64 = 60 * SECOND_MS;
/// Milliseconds.
pub const HOUR_MS: i64 = 60 * MINUTE_MS;

impl Timestamp {
    /// The moment `minutes` later.
    pub fn plus_minutes(self, minutes: u32) -> Timestamp {
        Timestamp(self.0.saturating_add(i64::from(minutes) * MINUTE_MS))
    }

    /// Milliseconds from `earlier` to this moment; negative if `earlier` is later.
    pub fn ms_since(self, earlier: Timestamp) -> i64 {
        self.0.saturating_sub(earlier.0)
    }

    /// Time passed since `earlier` in words: `2 s`, `14 min`, `3 h 5 min`.
    pub fn words_since(self, earlier: Timestamp) -> String {
        let seconds = self.ms_since(earlier).max(0) / SECOND_MS;
        match (seconds / 3600, seconds / 60 % 60, seconds) {
            (0, 0, seconds) => format!("{seconds} s"),
            (0, minutes, _) => format!("{minutes} min"),
            (hours, minutes, _) => format!("{hours} h {minutes} min"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_passed_is_said_in_the_unit_that_fits() {
        let start = Timestamp(0);
        let said = [2_000, 840_000, 11_100_000].map(|ms| Timestamp(ms).words_since(start));
        assert_eq!(said, ["2 s", "14 min", "3 h 5 min"]);
    }
}
