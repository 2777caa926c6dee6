//! Need 10: filling waits while no canner could take the jars within ten minutes.

use crate::kitchen::{Kitchen, build};
use putby::day::time::MINUTE_MS;
use serde_json::{Value, json};

/// A kitchen that makes nothing but one product.
fn only(product: &str, change: impl FnOnce(&mut Value)) -> Kitchen {
    Kitchen::with(|plan| {
        let products = plan["products"].as_object_mut().unwrap();
        products.retain(|id, _| id == product);
        change(plan);
    })
}

/// Canner A takes seven quarts, canner B five.
fn two_canners() -> Kitchen {
    only("pear-quarts", |plan| {
        plan["stations"]["canner"]["nature"]["canners"]["b"] =
            json!({"name": "Canner B", "holds": {"quart": 5}});
    })
}

fn load(load: &str, canner: &str, jars: i64) -> String {
    build("canner", load, &[("pear-quarts", jars)]).replace("canner=a", &format!("canner={canner}"))
}

fn hold(day: &Kitchen) -> Option<Value> {
    day.view()["stations"]["fill"].get("hold").cloned()
}

/// Two jars' worth and more waits to be filled.
fn sliced(day: &mut Kitchen, product: &str, lot: &str) {
    day.does(&format!("open-box lot={lot} product={product} amount=5000"));
    day.does(&format!(
        "tally station=slice product={product} amount=5000"
    ));
}

/// The filling may go on at this moment at the earliest, ten minutes before a canner is free.
#[track_caller]
fn held_until(day: &Kitchen, minutes_from_now: i64) {
    let hold = hold(day).expect("a hold");
    let until = hold.get("until").and_then(Value::as_i64).expect("a moment");
    assert_eq!((until - day.now.0) / MINUTE_MS, minutes_from_now, "{hold}");
}

/// Need 10: nobody fills jars that no canner can take within ten minutes.
#[test]
fn need_10_both_canners_busy_hold_the_filling_until_ten_minutes_before_one_is_free() {
    let mut day = two_canners();
    assert_eq!(hold(&day), None);
    sliced(&mut day, "pear-quarts", "pears-a");
    assert_eq!(hold(&day), None);
    day.fill_pear_quarts(11);
    day.all(&[&load("l1", "a", 7), "heat-load load=l1"]);
    assert_eq!(hold(&day), None, "a fifth jar fits the other canner");
    day.fill_pear_quarts(1);
    assert!(hold(&day).is_some(), "a sixth does not");
    day.all(&[
        &load("l2", "b", 5),
        "heat-load load=l2",
        "rolling-boil load=l1",
    ]);
    day.wait(10).does("rolling-boil load=l2");
    // 25 minutes of process and 5 of standing: A is free in 20 minutes, B in 30.
    held_until(&day, 10);
    day.fill_pear_quarts(7);
    held_until(&day, 20);
    day.wait(15).does("heat-off load=l1");
    held_until(&day, 5);
    day.wait(5).does("lift-load load=l1");
    held_until(&day, 0);
    day.does(&load("l3", "a", 7));
    let until = hold(&day).unwrap()["until"].as_i64().unwrap();
    assert_eq!(until, day.now.0, "B is free in ten minutes");
}

#[test]
fn need_10_a_free_canner_holds_nobody_back() {
    let mut day = two_canners();
    sliced(&mut day, "pear-quarts", "pears-a");
    day.boil_pears("l1", 7).fill_pear_quarts(4);
    assert_eq!(hold(&day), None);
    assert!(day.view()["stations"]["slice"].get("hold").is_none());
    day.does("divert station=canner product=pear-quarts amount=4000 to={\"as\":\"fresh\"}");
    day.wait(25).all(&["heat-off load=l1", "lift-load load=l1"]);
    assert_eq!(hold(&day), None);
}

#[test]
fn need_10_a_canner_busy_with_other_jars_does_not_hold_those_that_find_theirs_free() {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2);
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice product=pear-quarts amount=5000",
    ]);
    assert_eq!(
        hold(&day),
        None,
        "the pears find the boiling-water canner free"
    );
}

/// While it heats nobody knows when the boil comes: it is never said that a canner is free sooner
/// than the whole time after this moment.
#[test]
fn need_10_a_canner_that_is_slow_to_boil_does_not_end_the_hold() {
    for minutes in [0, 15, 30, 60, 120] {
        let mut day = only("pear-quarts", |_| {});
        sliced(&mut day, "pear-quarts", "pears-a");
        day.fill_pear_quarts(7);
        day.all(&[&load("l1", "a", 7), "heat-load load=l1"]);
        day.wait(minutes)
            .does("note on={\"about\":\"day\"} text=Slow");
        let hold = hold(&day).expect("a hold while it heats");
        let until = hold.get("until").and_then(Value::as_i64);
        let soonest = day.now.0 + (25 + 5 - 10) * MINUTE_MS;
        assert!(
            until.is_none_or(|until| until >= soonest),
            "{minutes}: {hold}"
        );
    }
}

#[test]
fn need_10_nothing_to_fill_is_not_held() {
    let mut day = only("pear-quarts", |_| {});
    day.boil_pears("l1", 7);
    assert_eq!(hold(&day), None);
    sliced(&mut day, "pear-quarts", "pears-a");
    held_until(&day, 20);
}

/// Seven wait for the load that comes next: an eighth would stand for a whole process more.
#[test]
fn need_10_jars_for_a_later_load_are_not_filled_yet() {
    let mut day = only("pear-quarts", |_| {});
    sliced(&mut day, "pear-quarts", "pears-a");
    day.boil_pears("l1", 7).fill_pear_quarts(7);
    let hold = hold(&day).expect("a hold");
    let until = hold.get("until").and_then(Value::as_i64);
    let soonest = day.now.0 + (30 + 25 + 5 - 10) * MINUTE_MS;
    assert!(until.is_none_or(|until| until >= soonest), "{hold}");
}

#[test]
fn need_10_a_span_nobody_knows_does_not_end_the_hold() {
    let mut day = only("pear-quarts", |_| {});
    sliced(&mut day, "pear-quarts", "pears-a");
    day.boil_pears("l1", 7);
    day.wait(15).does("time-unknown ms=900000");
    // 25 minutes of process and 5 of standing, none of them over.
    held_until(&day, 20);
}

#[test]
fn need_10_a_pressure_canner_is_not_free_before_its_pressure_fell_and_it_stood() {
    let press_hold = |day: &Kitchen| {
        let hold = hold(day).expect("a hold while the pressure canner is busy");
        hold.get("until").and_then(Value::as_i64)
    };
    let mut day = only("beans", |_| {});
    sliced(&mut day, "beans", "beans-a");
    day.fill("beans-a", "beans", 2, 1000);
    day.all(&[&build("press", "l1", &[("beans", 2)]), "heat-load load=l1"]);
    // Venting, the whole time and the standing are still to come.
    let soonest = day.now.0 + (10 + 20 + 10 - 10) * MINUTE_MS;
    let until = press_hold(&day);
    assert!(until.is_none_or(|until| until >= soonest), "{until:?}");
    day.wait(13).does("vent load=l1");
    day.wait(10).does("rolling-boil load=l1");
    let soonest = day.now.0 + (20 + 10 - 10) * MINUTE_MS;
    let until = press_hold(&day);
    assert!(until.is_none_or(|until| until >= soonest), "{until:?}");
    day.wait(20).does("heat-off load=l1");
    let soonest = day.now.0;
    let until = press_hold(&day);
    assert!(until.is_none_or(|until| until >= soonest), "{until:?}");
    day.wait(40).does("pressure-zero load=l1");
    let until = press_hold(&day);
    assert!(until.is_none_or(|until| until >= day.now.0), "{until:?}");
}
