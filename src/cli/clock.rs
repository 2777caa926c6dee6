//! A moment on the clock of this computer.

use crate::day::time::Timestamp;
use jiff::tz::TimeZone;

/// `14:05`, in the zone of this computer.
pub(super) fn clock(at: Timestamp) -> String {
    match jiff::Timestamp::from_millisecond(at.0) {
        Ok(at) => at
            .to_zoned_datetime(TimeZone::system())
            .strftime("%H:%M")
            .to_string(),
        Err(_) => at.0.to_string(),
    }
}
