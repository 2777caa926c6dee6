//! Needs 1, 2, 3 and 9: what is on the heat.

use crate::kitchen::{Kitchen, build, build_mixed};
use crate::refusals::filled_pot;
use putby::day::time::MINUTE_MS;
use putby::day::{Code, State};
use serde_json::json;

pub fn loaded() -> Kitchen {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    day
}

#[test]
fn need_01_without_a_boil_tap_there_is_no_countdown_and_no_done() {
    let mut day = loaded();
    day.does("heat-load load=l1");
    day.wait(30);
    let load = day.view()["loads"]["l1"].clone();
    assert_eq!(load["phase"], "heating");
    assert!(
        load.get("done_at").is_none() && load.get("boil_at").is_none(),
        "{load}"
    );
    let refusal = day.refuses(Code::TimeNotOver, "heat-off load=l1");
    assert!(refusal.detail.contains("no full boil"), "{refusal:?}");
    day.refuses(Code::WrongPhase, "lift-load load=l1");
    day.does("rolling-boil load=l1");
    let done_at = day.view()["loads"]["l1"]["done_at"].as_i64().unwrap();
    assert_eq!(done_at - day.now.0, 25 * MINUTE_MS);
}

#[test]
fn need_01_the_boil_is_tapped_once() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7)
        .wait(10)
        .refuses(Code::WrongPhase, "rolling-boil load=l1");
    day.refuses(Code::WrongPhase, "heat-load load=l1");
}

#[test]
fn need_02_a_blank_altitude_blocks_the_load_until_it_is_set() {
    let mut day = Kitchen::with(|plan| plan["altitude_ft"] = json!(null));
    day.fill_pear_quarts(7);
    let order = build("canner", "l1", &[("pear-quarts", 7)]);
    let refusal = day.refuses(Code::NoAltitude, &order);
    assert!(
        refusal.instead.contains("lead sets the altitude"),
        "{refusal:?}"
    );
    day.all(&["change-day altitude_ft=3500", &order]);
    // USDA Complete Guide to Home Canning, pears hot pack, quarts, 3,001 to 6,000 ft: 35 minutes.
    assert_eq!(
        day.view()["loads"]["l1"]["process"]["tested"]["minutes"],
        35
    );
}

/// USDA Complete Guide, 0 to 1,000 ft: pears hot pack in quarts 25 minutes; fruit purée 15.
#[test]
fn need_02_a_mixed_load_gets_the_longest_time_and_says_who_decided() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(3);
    day.does(
        "add-lot lot=puree-a plan={\"name\":\"Pulp\",\"produce\":\"plums\",\"measure\":\"qt\",\
            \"amount\":5000,\"box_holds\":5000}",
    );
    day.all(&[
        "open-box lot=puree-a product=plum-puree",
        "tally station=fill product=plum-puree amount=3000",
    ]);
    let jars = [("plum-puree", 3), ("pear-quarts", 3)];
    day.refuses(Code::MixedLoad, &build("canner", "l1", &jars));
    day.does(&build_mixed("canner", "l1", &jars));
    let view = day.view();
    let process = &view["loads"]["l1"]["process"];
    assert_eq!(
        (&process["tested"]["minutes"], &process["decided_by"]),
        (&json!(25), &json!("pear-quarts"))
    );
}

#[test]
fn need_02_too_many_jars_and_unlike_pressures_are_blocked_with_the_reason() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(8);
    let refusal = day.refuses(
        Code::OverCapacity,
        &build("canner", "l1", &[("pear-quarts", 8)]),
    );
    assert!(refusal.instead.contains("7 quart jars"), "{refusal:?}");
    day.fill("pears-a", "pear-press", 1, 1250)
        .fill("beans-a", "beans", 1, 1000);
    for order in [
        build("press", "l1", &[("pear-press", 1), ("beans", 1)]),
        build("press", "l1", &[("beans", 1), ("pear-press", 1)]),
    ] {
        day.refuses(Code::UnlikePressure, &order);
    }
    day.does(&build("press", "l1", &[("beans", 1)]));
}

#[test]
fn need_02_a_product_named_twice_is_not_drawn_twice() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(4);
    let twice = build("canner", "l1", &[("pear-quarts", 2), ("pear-quarts", 2)]);
    day.refuses(Code::BadValue, &twice);
    day.refuses(
        Code::BadValue,
        &build("canner", "l1", &[("pear-quarts", 0)]),
    );
    day.refuses(Code::BadValue, &build("canner", "l1", &[]));
    day.refuses(
        Code::NotEnough,
        &build("canner", "l1", &[("pear-quarts", 5)]),
    );
    assert_eq!(day.waits("canner", "pear-quarts"), 4000);
}

#[test]
fn need_03_timers_are_moments_that_survive_a_restart() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    day.boil_pears("l1", 7).wait(3);
    let stored = serde_json::to_string(&day.state).unwrap();
    let woken: State = serde_json::from_str(&stored).unwrap();
    assert_eq!(woken, day.state);
    let (before, after) = (
        day.view(),
        serde_json::to_value(putby::day::view(&woken)).unwrap(),
    );
    assert_eq!(before, after);
    let load = &after["loads"]["l1"];
    assert_eq!(
        load["done_at"].as_i64(),
        load["boil_at"].as_i64().map(|at| at + 25 * MINUTE_MS)
    );
    assert!(after["stations"]["cook"]["pots"]["big"]["stir_at"].is_i64());
    day.state = woken;
    day.wait(21).refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait(1).does("heat-off load=l1");
}

#[test]
fn need_03_a_clock_set_back_does_not_shorten_a_process() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7)
        .wait(-60)
        .refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait(60 + 25).does("heat-off load=l1");
}

#[test]
fn need_09_stirring_gets_more_often_as_it_thickens() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren backup=osk");
    let due_in = |day: &Kitchen| {
        let due = day.view()["stations"]["cook"]["pots"]["big"]["stir_at"]
            .as_i64()
            .unwrap();
        (due - day.now.0) / MINUTE_MS
    };
    assert_eq!(due_in(&day), 18);
    day.wait(15)
        .does("stirred station=cook pot=big helper=maren");
    assert_eq!(due_in(&day), 18);
    day.wait(18)
        .does("stirred station=cook pot=big helper=maren thickness=half");
    assert_eq!(due_in(&day), 10);
    day.wait(10)
        .does("stirred station=cook pot=big thickness=thick");
    assert_eq!(due_in(&day), 4);
    day.wait(3).does("stirred station=cook pot=big");
    assert_eq!(due_in(&day), 4, "a stir without a word leaves it as thick");
    assert_eq!(
        day.view()["stations"]["cook"]["pots"]["big"]["backup"],
        "osk"
    );
}
