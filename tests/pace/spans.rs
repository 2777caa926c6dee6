//! Every minute of every station and helper is told once, whatever happened on the day.

use crate::day::{Day, MORNING, id, plan};
use crate::kitchen::{START, plan as random_plan};
use crate::orders::{Step, orders};
use proptest::prelude::*;
use putby::day::time::{HOUR_MS, MINUTE_MS, Timestamp};
use putby::day::{Command, Moment, Record, Role, State, execute};
use putby::demo::play::play;
use putby::demo::{cast, day};
use putby::pace::{CHANGE_MIN, Doing, Learned, Pace};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Spans `(from, to)` follow on each other from the opening to the end.
fn tiles(spans: &[(Timestamp, Timestamp)], from: Timestamp, to: Timestamp) -> Result<(), String> {
    let mut at = from;
    for span in spans {
        if span.0 != at || span.1 <= span.0 {
            return Err(format!("{span:?} after {at:?}"));
        }
        at = span.1;
    }
    if at == to {
        Ok(())
    } else {
        Err(format!("ends at {at:?}, not {to:?}"))
    }
}

/// What must hold of any day's pace.
fn holds(state: &State, records: &[Record], now: Timestamp) -> Result<(), String> {
    let pace = Pace::of(records, &Learned::default(), now);
    let to = state.closed_at.unwrap_or(now);
    for (id, spans) in pace.spans() {
        let ends: Vec<_> = spans.iter().map(|span| (span.from, span.to)).collect();
        tiles(&ends, state.opened_at, to).map_err(|fault| format!("{id}: {fault}"))?;
    }
    let stations = pace.spans().len();
    if stations != state.stations.len() {
        return Err(format!("{stations} stations are told of"));
    }
    let mut working: BTreeMap<_, f64> = BTreeMap::new();
    for (id, spans) in pace.helper_spans() {
        let ends: Vec<_> = spans.iter().map(|span| (span.from, span.to)).collect();
        tiles(&ends, state.opened_at, to).map_err(|fault| format!("{id}: {fault}"))?;
        for span in spans.iter().filter(|span| span.doing == Doing::Working) {
            let minutes = span.to.ms_since(span.from) as f64 / MINUTE_MS as f64;
            *working.entry(id.clone()).or_default() += minutes;
        }
    }
    for helper in state.helpers.keys() {
        let mut active = 0.0;
        for station in state.stations.keys() {
            let seen = pace.seen(helper, station);
            if !(seen.carriers > -1e-9 && seen.active_min > -1e-9) {
                return Err(format!("{helper} at {station}: {seen:?}"));
            }
            active += seen.active_min;
            for product in state.products.keys() {
                let law = pace.rate(state, helper, station, product);
                let sound = law.mean() > 0.0 && law.mean().is_finite() && law.shape > 0.5;
                if !sound {
                    return Err(format!("{helper} at {station} with {product}: {law:?}"));
                }
            }
        }
        let worked = working.get(helper).copied().unwrap_or_default();
        if active > worked + 1e-6 {
            return Err(format!("{helper} worked {worked} and is charged {active}"));
        }
    }
    for (station, points) in pace.queue() {
        let rising = points.windows(2).all(|two| two[0].0 < two[1].0);
        let recent = points.iter().all(|point| to.ms_since(point.0) <= HOUR_MS);
        if !rising || !recent || points.len() > 60 || points.is_empty() {
            return Err(format!("{station}: {points:?}"));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn spans_tile_random_days(steps in orders(1..120)) {
        let mut state = State::default();
        let mut records: Vec<Record> = Vec::new();
        let open = Command::OpenDay { plan: Box::new(random_plan()) };
        let open = Step { later_ms: 0, command: open };
        let mut now = START;
        for (number, step) in std::iter::once(&open).chain(&steps).enumerate() {
            now = Timestamp(now.0 + step.later_ms);
            let command = Uuid::from_u128(number as u128);
            let moment = Moment { now, command, role: Role::Lead };
            let events = execute(&mut state, &step.command, &moment).unwrap_or_default();
            for event in events {
                let seq = records.len() as u64 + 1;
                records.push(Record { seq, at: now, command, role: Role::Lead, event });
            }
        }
        let later = Timestamp(now.0 + 7 * MINUTE_MS);
        if let Err(fault) = holds(&state, &records, later) {
            prop_assert!(false, "{}", fault);
        }
    }
}

/// Days with canners, pots and racks, played by the simulated family; looked at on the way, too.
#[test]
fn spans_tile_played_days() {
    for seed in 1..3 {
        let played = play(day(), &cast(), seed);
        let last = played.records.last().unwrap().at;
        holds(&played.state, &played.records, Timestamp(last.0 + HOUR_MS)).unwrap();
        let canners = |pace: &Pace| {
            let load = played.state.loads.values().next().unwrap();
            pace.spans()[&load.station]
                .iter()
                .filter(|span| span.doing == Doing::Working)
                .count()
        };
        let pace = Pace::of(&played.records, &Learned::default(), last);
        assert!(canners(&pace) > 0, "seed {seed}");
        for part in 1..6 {
            let records = &played.records[..played.records.len() * part / 6];
            let mut state = State::default();
            for record in records {
                putby::day::apply(&mut state, record.at, record.command, &record.event);
            }
            let now = Timestamp(records.last().unwrap().at.0 + MINUTE_MS);
            holds(&state, records, now).unwrap();
        }
    }
}

/// What is known at a moment does not depend on what was asked before, and nothing of an empty day
/// is known.
#[test]
fn an_empty_day_has_a_pace() {
    let pace = Pace::of(&[], &Learned::default(), MORNING);
    assert!(pace.spans().is_empty() && pace.helper_spans().is_empty());
    assert_eq!(pace.shape(), 4.0);
    let law = pace.rate(&State::default(), &id("osk"), &id("slice"), &id("peaches"));
    assert!(law.mean() > 0.0);
}

/// What each did, minute by minute, of a morning whose every minute is known.
#[test]
fn a_morning_is_told_as_it_was() {
    let mut day = Day::with(plan(900, 900));
    day.wait(5.0).claim("osk", "slice").wait(5.0);
    day.waits("slice", "peaches", 4.0)
        .wait(3.0)
        .tap("osk", "slice");
    day.wait(3.0).tap("osk", "slice").wait(2.0);
    day.waits("slice", "peaches", 4.0);
    day.does(serde_json::json!({"order": "leave", "helper": "osk"}));
    day.wait(10.0);
    let pace = day.pace();
    let told = |spans: &[(Timestamp, Timestamp, Doing)]| -> Vec<(f64, Doing)> {
        let minutes = |to: Timestamp| to.ms_since(MORNING) as f64 / MINUTE_MS as f64;
        spans.iter().map(|span| (minutes(span.1), span.2)).collect()
    };
    let station: Vec<_> = pace.spans()[&id("slice")]
        .iter()
        .map(|span| (span.from, span.to, span.doing))
        .collect();
    let expected = [
        (10.0, Doing::Starved),
        (16.0, Doing::Working),
        (18.0, Doing::Starved),
        (28.0, Doing::Unstaffed),
    ];
    assert_eq!(told(&station), expected);
    let osk: Vec<_> = pace.helper_spans()[&id("osk")]
        .iter()
        .map(|span| (span.from, span.to, span.doing))
        .collect();
    let expected = [
        (5.0, Doing::Away),
        (5.0 + CHANGE_MIN, Doing::Away),
        (10.0, Doing::Starved),
        (16.0, Doing::Working),
        (18.0, Doing::Starved),
        (28.0, Doing::Away),
    ];
    assert_eq!(told(&osk), expected);
    let queue: Vec<f64> = pace.queue()[&id("slice")]
        .iter()
        .map(|point| point.1)
        .collect();
    assert_eq!(queue, [0.0, 2.0, 1.0, 0.0, 2.0]);
}

/// Things that only stand somewhere are no work, or a rack would be the busiest station of all.
#[test]
fn a_rack_is_never_at_work() {
    let mut day = Day::with(plan(900, 900));
    day.waits("rack", "peaches", 12.0).wait(90.0);
    let pace = day.pace();
    let rack = &pace.spans()[&id("rack")];
    assert_eq!(rack.len(), 1);
    assert_eq!(rack[0].doing, Doing::Away);
    // How full it is is told all the same.
    assert_eq!(
        pace.queue()[&id("rack")].last().map(|point| point.1),
        Some(12.0)
    );
}
