//! A moment as people write it.

use crate::day::time::{MINUTE_MS, Timestamp};
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

/// Reads a moment of a day that was opened at `opening` on the civil date `date`.
///
/// # Errors
/// A sentence that names the forms that can be read.
pub fn moment(text: &str, opening: Timestamp, date: &str) -> Result<Timestamp, String> {
    let text = text.trim();
    if let Some(minutes) = text.strip_prefix('+') {
        let minutes: f64 = minutes.parse().map_err(|_| unread(text))?;
        if !(0.0..=1e6).contains(&minutes) {
            return Err(unread(text));
        }
        let ms = (minutes * MINUTE_MS as f64).round() as i64;
        return Ok(Timestamp(opening.0.saturating_add(ms)));
    }
    // Smaller numbers could be hours or minutes; nobody means 1970.
    if text.len() >= 12
        && let Ok(ms) = text.parse::<i64>()
    {
        return Timestamp::try_from(ms).map_err(|error| error.to_string());
    }
    if let Some(time) = clock_time(text) {
        return on_date(time, date);
    }
    let zoned = text.parse::<jiff::Timestamp>();
    let at = zoned.map_err(|_| unread(text))?;
    Ok(Timestamp(at.as_millisecond()))
}

/// `H:MM` or `HH:MM`.
fn clock_time(text: &str) -> Option<Time> {
    let (hour, minute) = text.split_once(':')?;
    if hour.len() > 2 || minute.len() != 2 {
        return None;
    }
    Time::new(hour.parse().ok()?, minute.parse().ok()?, 0, 0).ok()
}

fn on_date(time: Time, date: &str) -> Result<Timestamp, String> {
    let date: Date = date
        .parse()
        .map_err(|_| format!("The day's date {date} is no date: say the moment as +MIN."))?;
    let zoned = date.to_datetime(time).to_zoned_datetime(TimeZone::system());
    let zoned = zoned.map_err(|error| error.to_string())?;
    Ok(Timestamp(zoned.timestamp().as_millisecond()))
}

fn unread(text: &str) -> String {
    format!(
        "{text} is no moment: write HH:MM of the day, +MIN after its opening, an ISO moment such as 2026-09-12T10:30:00Z, or milliseconds since 1970."
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const OPENING: Timestamp = Timestamp(1_789_199_400_000);

    fn read(text: &str) -> Result<Timestamp, String> {
        moment(text, OPENING, "2026-09-12")
    }

    #[test]
    fn every_form_is_read() {
        assert_eq!(read("+90"), Ok(Timestamp(OPENING.0 + 90 * MINUTE_MS)));
        assert_eq!(read("1789199400000"), Ok(OPENING));
        // 1,789,199,400 s after 1970 is 07:10 UTC on 12 September 2026.
        assert_eq!(
            read("2026-09-12T07:50:00Z").map(|at| at.0 / MINUTE_MS),
            Ok(29_819_990)
        );
        assert_eq!(
            read("2026-09-12T07:50:00Z"),
            read("2026-09-12T09:50:00+02:00")
        );
        let noon = read("12:00").expect("a time");
        let one = read("13:00").expect("a time");
        assert_eq!(one.ms_since(noon), 60 * MINUTE_MS);
    }

    #[test]
    fn what_is_no_moment_is_said_so() {
        for text in [
            "",
            "noon",
            "25:00",
            "12:7",
            "+x",
            "-5",
            "90",
            "+-4",
            "2026-09-12",
        ] {
            let said = read(text).expect_err(text);
            assert!(said.contains("HH:MM"), "{text}: {said}");
        }
    }
}
