//! The wall clock set forward or back by hours during a load: the engine gives each command the
//! later of the wall's moment and the last one, and by that no process gets shorter. And spans of
//! which nobody knows how long they were: they count for nothing.

use crate::kitchen::{Kitchen, build, order_of, seals};
use putby::day::time::{HOUR_MS, MINUTE_MS, Timestamp};
use putby::day::{Code, Role};

/// What the wall says next, by the rule of the engine.
fn wall(day: &mut Kitchen, shows: i64) {
    day.now = day.now.max(Timestamp(shows));
}

#[test]
fn a_wall_clock_set_back_by_hours_ends_no_process_early() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2);
    let boil = day.now.0;
    for minutes in [1, 12, 25, 100] {
        wall(&mut day, boil - 5 * HOUR_MS + minutes * MINUTE_MS);
        day.refuses(Code::TimeNotOver, "heat-off load=l1");
        assert_eq!(
            day.now.0, boil,
            "time stands still until the wall has caught up"
        );
    }
    wall(&mut day, boil + 25 * MINUTE_MS - 1);
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    wall(&mut day, boil + 25 * MINUTE_MS);
    day.does("heat-off load=l1");
}

#[test]
fn a_clock_that_jumps_forward_and_back_again_counts_on_from_the_furthest() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2);
    let boil = day.now.0;
    wall(&mut day, boil + 3 * HOUR_MS);
    day.all(&["boil-lost load=l1", "rolling-boil load=l1"]);
    let again = day.now.0;
    wall(&mut day, boil + 30 * MINUTE_MS);
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    wall(&mut day, again + 25 * MINUTE_MS - 1);
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    wall(&mut day, again + 25 * MINUTE_MS);
    day.does("heat-off load=l1");
}

/// A wall clock that goes wild: jumps of up to six hours either way, an order at each moment.
#[test]
fn heat_off_is_taken_exactly_when_the_last_millisecond_is_over_whatever_the_wall_shows() {
    let (mut taken, mut refused) = (0, 0);
    for seed in 1..60 {
        let mut day = Kitchen::open();
        day.boil_pears("l1", 2);
        let (boil, mut shows, mut dice) = (day.now.0, day.now.0, seed as u64);
        for _ in 0..40 {
            dice = dice
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let jump = i64::try_from(dice >> 33).unwrap() % (6 * HOUR_MS);
            shows += match dice >> 60 {
                0 | 1 => jump,
                2..=6 => -jump,
                _ => jump / 200,
            };
            wall(&mut day, shows);
            let over = day.now.0 - boil >= 25 * MINUTE_MS;
            let off = day.gives(Role::Lead, order_of("heat-off load=l1"));
            assert_eq!(off.is_ok(), over, "{:?} after {}", off, day.now.0 - boil);
            if over {
                taken += 1;
                break;
            }
            refused += 1;
        }
    }
    assert!(taken > 20 && refused > 100, "{taken} {refused}");
}

#[test]
fn neither_venting_nor_falling_pressure_nor_cooling_gets_shorter() {
    let mut day = Kitchen::open();
    day.fill("beans-a", "beans", 2, 1000);
    day.all(&[
        &build("press", "l1", &[("beans", 2)]),
        "heat-load load=l1",
        "vent load=l1",
    ]);
    let seals = seals("l1", "beans", &[("sealed", 2)]);
    for (code, order, minutes) in [
        (Code::NotVented, "rolling-boil load=l1", 10),
        (Code::TimeNotOver, "heat-off load=l1", 20),
        (Code::StillUnderPressure, "lift-load load=l1", 10),
        (Code::TimeNotOver, &seals, 12 * 60),
    ] {
        if order.starts_with("lift") {
            day.does("pressure-zero load=l1");
        }
        let began = day.now.0;
        wall(&mut day, began - 7 * HOUR_MS);
        day.refuses(code, order);
        wall(&mut day, began + minutes * MINUTE_MS - 1);
        day.refuses(code, order);
        wall(&mut day, began + minutes * MINUTE_MS);
        day.does(order);
    }
    assert_eq!(day.finished("beans"), 2000);
}

fn unknown(minutes: i64) -> String {
    format!("time-unknown ms={}", minutes * MINUTE_MS)
}

#[test]
fn a_span_nobody_knows_counts_for_no_process() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2);
    let boil = day.now.0;
    day.wait(10).does(&unknown(7));
    let load = day.view()["loads"]["l1"].clone();
    assert_eq!(load["unknown_ms"].as_i64(), Some(7 * MINUTE_MS));
    assert_eq!(load["done_at"].as_i64(), Some(boil + 32 * MINUTE_MS));
    day.wait(15).refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait(2).does(&unknown(1));
    day.wait(6).wait_ms(-1);
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait_ms(1).does("heat-off load=l1");
    assert_eq!(day.view()["loads"]["l1"]["short"], false);
}

#[test]
fn a_new_boil_owes_nothing_for_a_span_before_it() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2).wait(10);
    day.all(&[&unknown(60), "boil-lost load=l1", "rolling-boil load=l1"]);
    assert!(day.view()["loads"]["l1"].get("unknown_ms").is_none());
    day.wait(25).does("heat-off load=l1");
}

#[test]
fn only_loads_that_are_timed_owe_an_unknown_span() {
    let mut day = Kitchen::open();
    day.refuses(Code::WrongPhase, &unknown(5));
    day.fill("beans-a", "beans", 2, 1000);
    day.all(&[&build("press", "l1", &[("beans", 2)]), "heat-load load=l1"]);
    day.refuses(Code::WrongPhase, &unknown(5));
    day.boil_pears("l2", 2).does(&unknown(5));
    day.does("vent load=l1");
    day.wait(10).does("rolling-boil load=l1");
    day.wait(20).does("heat-off load=l1");
    assert_eq!(day.view()["loads"]["l1"]["short"], false);
    day.does("heat-off load=l2");
    day.refuses(Code::WrongPhase, &unknown(5));
}

#[test]
fn no_helper_and_no_absurd_number_says_what_is_unknown() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2);
    day.refuses_role(Role::Helper, Code::LeadOnly, order_of(&unknown(5)));
    for ms in [0, -1, i64::MIN] {
        let order = order_of(&format!("time-unknown ms={ms}"));
        assert!(day.gives(Role::Lead, order).is_err(), "{ms}");
    }
}

/// What JSON carries exactly ends at 2^53 (RFC 8259).
#[test]
fn an_absurd_span_is_refused() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2);
    for ms in [i64::MAX, 1 << 62, 1 << 53] {
        let order = serde_json::json!({"order": "time-unknown", "ms": ms});
        let read = serde_json::from_value::<putby::day::Command>(order.clone());
        assert!(
            read.is_err() || day.gives(Role::Lead, order).is_err(),
            "{ms}"
        );
    }
}
