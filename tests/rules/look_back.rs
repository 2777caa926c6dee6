//! Looking back: every figure agrees with what was done, and the sums come out exactly.

mod amounts;
mod depths;
mod table;
mod times;

use crate::kitchen::Kitchen;
use crate::wire::worked_day;
use putby::day::amount::Amount;
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
        let sum = station.busy_ms + station.starved_ms + station.unstaffed_ms + station.put_away_ms;
        assert_eq!(sum, told.open_ms, "the time of {id}");
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
    for (id, helper) in &told.helpers {
        assert!(
            0 <= helper.waited_ms && helper.waited_ms <= helper.seated_ms,
            "{id}"
        );
        assert!(helper.seated_ms + helper.rested_ms <= told.open_ms, "{id}");
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
