//! The wall clock set forward or back by hours during a load: the engine gives each command the
//! later of the wall's moment and the last one, and by that no process gets shorter.

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
