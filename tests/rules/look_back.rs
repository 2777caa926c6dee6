//! Looking back: every figure agrees with what was done, and the sums come out exactly.

mod amounts;
mod depths;
mod next_time;
mod table;
mod times;

use crate::kitchen::Kitchen;
use crate::wire::worked_day;
use putby::day::amount::Amount;
use putby::day::time::{HOUR_MS, Timestamp};
use putby::lookback::{LookBack, Made, look_back};
use serde_json::Value;

pub fn told(day: &Kitchen) -> LookBack {
    look_back(&day.records)
}

pub fn told_json(day: &Kitchen) -> Value {
    serde_json::to_value(told(day)).unwrap()
}

/// The identities that hold for any day.
pub fn all_adds_up(told: &LookBack) {
    for (id, station) in &told.stations {
        let parts = [
            station.busy_ms,
            station.starved_ms,
            station.blocked_ms,
            station.unstaffed_ms,
            station.paused_ms,
            station.put_away_ms,
        ];
        assert!(parts.iter().all(|part| *part >= 0), "{id}: {parts:?}");
        assert_eq!(parts.iter().sum::<i64>(), told.open_ms, "the time of {id}");
        assert!(station.starved_between_ms <= station.starved_ms, "{id}");
        assert!(station.all_taken_ms <= station.busy_ms, "{id}");
        assert!((0.0..=1.0).contains(&station.busy_share), "{id}");
        for (product, points) in &station.depth {
            assert!(
                points.windows(2).all(|two| two[0].0 < two[1].0),
                "{product} at {id}"
            );
            assert!(points.iter().all(|point| point.1 >= Amount::ZERO));
        }
    }
    for (id, made) in &told.made {
        accounted_for(id.as_str(), made);
    }
    hours_add_up(told);
    flows_add_up(told);
    for (id, helper) in &told.helpers {
        assert!(
            0 <= helper.waited_ms && helper.waited_ms <= helper.seated_ms,
            "{id}"
        );
        assert!(helper.seated_ms + helper.rested_ms <= told.open_ms, "{id}");
    }
}

/// The hours follow on each other and give what was gained.
fn hours_add_up(told: &LookBack) {
    let Some(from) = told.from else {
        assert!(told.hours.is_empty());
        return;
    };
    let ends = told.hours.iter().map(|hour| hour.to);
    let begins = [from].into_iter().chain(ends);
    for (hour, begins) in told.hours.iter().zip(begins) {
        assert_eq!(hour.from, begins);
        assert!((1..=HOUR_MS).contains(&hour.to.ms_since(hour.from)));
    }
    let last = told.hours.last().map_or(from, |hour| hour.to);
    assert_eq!(last, told.to);
}

/// What came less what left is in place at every moment, and the area between is the stay.
fn flows_add_up(told: &LookBack) {
    for (product, flow) in &told.flows {
        for stage in &flow.stages {
            let place = format!("{product} at {}", stage.station);
            let rises = |two: &[(Timestamp, Amount, Amount)]| {
                two[0].0 < two[1].0 && two[0].1 <= two[1].1 && two[0].2 <= two[1].2
            };
            assert!(stage.points.windows(2).all(rises), "{place}");
            assert!(
                stage.points.iter().all(|point| point.1 >= point.2),
                "{place}"
            );
            if let Some(last) = stage.points.last() {
                assert_eq!((last.1, last.2), (stage.came, stage.left), "{place}");
            }
            if stage.left_out == 0 {
                let ends = stage
                    .points
                    .iter()
                    .skip(1)
                    .map(|point| point.0)
                    .chain([told.to]);
                let stay: i64 = stage
                    .points
                    .iter()
                    .zip(ends)
                    .map(|(point, end)| (point.1 - point.2).0 * end.ms_since(point.0))
                    .sum();
                assert_eq!(stay, stage.stay, "{place}");
            }
            // Little's law: mean in place times the span is the units times their mean stay.
            let (span, units) = (told.open_ms as f64 / 60_000.0, stage.came.0 as f64 / 1000.0);
            let (one, other) = (stage.mean_in_place * span, units * stage.mean_stay_min);
            assert!(
                (one - other).abs() <= 1e-6 * one.abs().max(1.0),
                "{place}: {one} {other}"
            );
        }
    }
}

fn accounted_for(id: &str, made: &Made) {
    let came = [made.made, made.brought_in, made.found];
    let is = [
        made.finished,
        made.cooling,
        made.standing,
        made.refrigerated,
        made.frozen,
        made.broken,
        made.fresh,
        made.diverted,
        made.scrapped,
        made.sent_back,
    ];
    let sum = |list: &[putby::lookback::Packages]| list.iter().map(|n| n.0).sum::<Amount>();
    assert_eq!(sum(&came), sum(&is), "{id}: {made:?}");
}

#[test]
fn no_events_tell_of_no_day() {
    assert_eq!(look_back(&[]), LookBack::default());
}

#[test]
fn the_pinned_day_adds_up_after_every_event() {
    let day = worked_day();
    for count in 0..=day.records.len() {
        all_adds_up(&look_back(&day.records[..count]));
    }
}
