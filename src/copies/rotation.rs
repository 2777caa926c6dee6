//! Which copies are kept: the newest, and one of each day for some days back.

use crate::day::time::{HOUR_MS, Timestamp};
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// So many of the newest are kept.
pub const NEWEST: usize = 8;
/// Of so many days the last one of each is kept.
pub const DAYS: usize = 7;
/// A day by universal time; whose day it is does not matter here.
const DAY_MS: i64 = 24 * HOUR_MS;

/// Those of `made` that may go at `now`. The newest [`NEWEST`] stay, and the last one of each of the
/// newest [`DAYS`] days that have any. What is dated after `now` was made under a wrong clock: it
/// counts as the oldest, so that it never drives out a good one.
pub fn superfluous(made: &[Timestamp], now: Timestamp) -> Vec<Timestamp> {
    let mut newest_first: Vec<Timestamp> = made.to_vec();
    newest_first.sort_by_key(|&at| (at > now, Reverse(at)));
    newest_first.dedup();
    let mut days = BTreeSet::new();
    newest_first
        .into_iter()
        .enumerate()
        .filter(|&(place, at)| {
            let last_of_day = days.len() < DAYS && days.insert(at.0.div_euclid(DAY_MS));
            place >= NEWEST && !last_of_day
        })
        .map(|(_, at)| at)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const QUARTER_MS: i64 = 15 * 60 * 1000;

    fn at(day: i64, quarter: i64) -> Timestamp {
        Timestamp(day * DAY_MS + quarter * QUARTER_MS)
    }

    /// What is left when a copy is made every quarter of an hour of `days` days.
    fn after(days: i64) -> Vec<Timestamp> {
        let mut kept: Vec<Timestamp> = Vec::new();
        for day in 0..days {
            for quarter in 0..96 {
                let now = at(day, quarter);
                kept.push(now);
                let gone = superfluous(&kept, now);
                kept.retain(|one| !gone.contains(one));
            }
        }
        kept
    }

    #[test]
    fn a_month_leaves_two_hours_and_a_week() {
        let mut expected: Vec<Timestamp> = (24..30).map(|day| at(day - 1, 95)).collect();
        expected.extend((88..96).map(|quarter| at(29, quarter)));
        assert_eq!(after(30), expected);
    }

    #[test]
    fn while_there_are_few_none_goes() {
        let few: Vec<Timestamp> = (0..8).map(|quarter| at(3, quarter)).collect();
        assert_eq!(superfluous(&few, at(3, 8)), []);
        assert_eq!(superfluous(&[], at(0, 0)), []);
    }

    #[test]
    fn the_ninth_of_one_day_drives_out_the_first() {
        let nine: Vec<Timestamp> = (0..9).map(|quarter| at(3, quarter)).collect();
        assert_eq!(superfluous(&nine, at(3, 9)), [at(3, 0)]);
    }

    #[test]
    fn days_without_copies_do_not_count() {
        // Once a week for twelve weeks: none is of the same day, eight are the newest anyway.
        let weekly: Vec<Timestamp> = (0..12).map(|week| at(7 * week, 40)).collect();
        let gone = superfluous(&weekly, at(80, 0));
        assert_eq!(gone, [at(21, 40), at(14, 40), at(7, 40), at(0, 40)]);
    }

    #[test]
    fn copies_of_a_wrong_clock_never_drive_out_good_ones() {
        let mut made: Vec<Timestamp> = (0..8).map(|quarter| at(9000, quarter)).collect();
        let good: Vec<Timestamp> = (0..8).map(|quarter| at(20, quarter)).collect();
        made.extend(&good);
        let gone = superfluous(&made, at(20, 8));
        assert!(good.iter().all(|one| !gone.contains(one)), "{gone:?}");
        assert_eq!(gone.len(), 7, "the last of that day stays: {gone:?}");
    }
}
