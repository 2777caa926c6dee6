//! Any day that can be reached has an outlook.

use crate::kitchen::{START, plan};
use crate::orders::{Step, orders};
use proptest::prelude::*;
use putby::day::time::Timestamp;
use putby::day::{Command, Moment, Record, Role, State, execute};
use putby::outlook::{Band, Memory, Outlook, Settings, outlook};
use putby::pace::{Learned, Pace};
use serde_json::Value;
use uuid::Uuid;

/// Plays orders from the opening on; what is refused changes nothing.
fn play(steps: &[Step]) -> (State, Vec<Record>, Timestamp) {
    let mut state = State::default();
    let mut records = Vec::new();
    let open = Command::OpenDay {
        plan: Box::new(plan()),
    };
    let mut now = START;
    let mut give = |command: &Command, now: Timestamp| {
        let moment = Moment {
            now,
            command: Uuid::from_u128(records.len() as u128 + 1),
            role: Role::Lead,
        };
        for event in execute(&mut state, command, &moment).unwrap_or_default() {
            records.push(Record {
                seq: records.len() as u64 + 1,
                at: now,
                command: moment.command,
                role: Role::Lead,
                event,
            });
        }
    };
    give(&open, now);
    for step in steps {
        now = Timestamp(now.0 + step.later_ms);
        give(&step.command, now);
    }
    (state, records, now)
}

/// A number that is none is written as null.
fn has_no_null(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Array(list) => list.iter().all(has_no_null),
        Value::Object(map) => map.values().all(has_no_null),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => true,
    }
}

fn is_in_order(band: &Band, at: Timestamp) -> bool {
    at <= band.p10 && band.p10 <= band.p50 && band.p50 <= band.p90
}

fn check(told: &Outlook, at: Timestamp) -> Result<(), TestCaseError> {
    let json = serde_json::to_value(told).unwrap();
    prop_assert!(has_no_null(&json), "{json:#}");
    if let Some(finish) = &told.finish {
        prop_assert!(is_in_order(finish, at), "{finish:?}");
    }
    for (id, product) in &told.products {
        prop_assert!(is_in_order(&product.finish, at), "{id}: {product:?}");
        prop_assert!(product.made_p10 <= product.made_p50 && product.made_p50 <= product.made_p90);
    }
    for (id, station) in &told.stations {
        let shares = station.working + station.starved + station.blocked;
        prop_assert!(
            station.depth_min >= 0.0 && shares <= 1.05,
            "{id}: {station:?}"
        );
    }
    let sets: f64 = told
        .stations
        .values()
        .map(|station| station.sets_finish)
        .sum();
    // Rounded to hundredths, station by station.
    prop_assert!(sets <= 1.0 + 0.005 * told.stations.len() as f64);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_day_that_can_be_reached_has_an_outlook(
        steps in orders(1..120),
        later_min in 0_i64..200,
    ) {
        let (state, records, last) = play(&steps);
        let at = Timestamp(last.0 + later_min * 60_000);
        let pace = Pace::of(&records, &Learned::default(), at);
        let settings = Settings { runs: 20, compare_runs: 10, ..Settings::default() };
        let (told, memory) = outlook(&state, &pace, at, &Memory::default(), &settings);
        check(&told, at)?;
        let again = outlook(&state, &pace, at, &Memory::default(), &settings);
        prop_assert_eq!(&again.0, &told, "the same day has two outlooks");
        let later = Timestamp(at.0 + 10 * 60_000);
        let pace = Pace::of(&records, &Learned::default(), later);
        check(&outlook(&state, &pace, later, &memory, &settings).0, later)?;
    }
}
