//! Looking back: what stations, canners and people did with their time.

use super::{all_adds_up, told, told_json};
use crate::kitchen::{Kitchen, build};
use crate::refusals::filled_pot;
use putby::day::time::MINUTE_MS;
use serde_json::json;

#[test]
fn a_day_without_work_has_no_pace_and_is_all_starved() {
    let mut day = Kitchen::open();
    day.wait(30).does("close-day");
    let told = told(&day);
    all_adds_up(&told);
    assert_eq!(
        (told.from, told.packages_per_hour, told.open_ms),
        (None, 0.0, 30 * MINUTE_MS)
    );
    assert_eq!(
        told.stations[&crate::kitchen::id("wash")].starved_ms,
        30 * MINUTE_MS
    );
    assert_eq!(
        told.stations[&crate::kitchen::id("mill")].put_away_ms,
        30 * MINUTE_MS
    );
}

#[test]
fn a_hand_station_is_busy_unstaffed_or_starved_by_seats_and_work() {
    let mut day = Kitchen::open();
    day.wait(10).does("claim helper=wren station=wash");
    day.wait(5)
        .does("open-box lot=plums-a product=plum-mash amount=8000");
    day.wait(7).does("tally station=wash amount=4000");
    day.wait(3).does("leave helper=wren");
    day.wait(11).does("claim helper=bo station=wash");
    day.wait(2).does("tally station=wash amount=4000");
    day.wait(4).does("close-day");
    let told = told_json(&day);
    let wash = &told["stations"]["wash"];
    let minutes = |field: &str| wash[field].as_i64().unwrap() / MINUTE_MS;
    assert_eq!(minutes("starved_ms"), 10 + 5 + 4);
    assert_eq!(minutes("busy_ms"), 7 + 3 + 2);
    assert_eq!(minutes("unstaffed_ms"), 11);
    let wren = &told["helpers"]["wren"];
    assert_eq!(wren["seated_ms"].as_i64(), Some(15 * MINUTE_MS));
    assert_eq!(wren["waited_ms"].as_i64(), Some(5 * MINUTE_MS));
    assert_eq!(wren["told"], "Wren gave 15 min at Wash. Thank you.");
    let cook = &told["stations"]["cook"];
    assert_eq!(
        cook["unstaffed_ms"].as_i64(),
        Some(20 * MINUTE_MS),
        "plums waited for a pot"
    );
}

#[test]
fn a_vessel_is_busy_while_any_pot_cooks() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.wait(6)
        .does("start-pot station=cook pot=big minder=maren");
    day.wait(20);
    for order in filled_pot("small") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=small minder=maren");
    day.wait(40).does("pot-done station=cook pot=big");
    day.wait(20).does("pot-done station=cook pot=small");
    day.wait(9).does("close-day");
    let told = told_json(&day);
    let cook = &told["stations"]["cook"];
    let times =
        ["busy_ms", "unstaffed_ms", "starved_ms"].map(|f| cook[f].as_i64().unwrap() / MINUTE_MS);
    assert_eq!(times, [80, 6, 9]);
}

#[test]
fn loads_are_told_with_their_times_and_the_canner_with_its_gaps() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7).wait(10).does("boil-lost load=l1");
    day.wait(4).does("rolling-boil load=l1");
    day.wait(26).does("heat-off load=l1");
    day.wait(5)
        .does("lift-load load=l1 broken=[{\"product\":\"pear-quarts\",\"jars\":1}]");
    day.wait(31)
        .boil_pears("l2", 6)
        .wait(20)
        .does("heat-off load=l2 end_early=true");
    day.wait(5).does("lift-load load=l2 fate=refrigerate");
    day.does("close-day");
    let told = told(&day);
    all_adds_up(&told);
    let json = told_json(&day);
    let minutes =
        |load: &str, field: &str| json["loads"][load][field].as_i64().map(|ms| ms / MINUTE_MS);
    assert_eq!(minutes("l1", "heat_up_ms"), Some(22));
    assert_eq!(minutes("l1", "process_ms"), Some(26));
    assert_eq!(
        json["loads"]["l1"]["boils_lost"].as_array().unwrap().len(),
        1
    );
    assert_eq!(minutes("l1", "canner_idle_before_ms"), None);
    assert_eq!(minutes("l2", "canner_idle_before_ms"), Some(31));
    assert_eq!(
        (&json["loads"]["l2"]["short"], &json["loads"]["l2"]["fate"]),
        (&json!(true), &json!("refrigerate"))
    );
    let canner = &json["stations"]["canner"];
    let of = |field: &str| canner[field].as_i64().unwrap() / MINUTE_MS;
    assert_eq!(of("busy_ms"), (22 + 10 + 4 + 26) + (22 + 20));
    assert_eq!(
        (of("unstaffed_ms"), of("between_loads_ms")),
        (10, 31),
        "resting with jars inside"
    );
    let pears = &json["made"]["pear-quarts"];
    for (field, packages) in [
        ("made", 13),
        ("cooling", 6),
        ("broken", 1),
        ("refrigerated", 6),
        ("short", 6),
        ("finished", 0),
    ] {
        assert_eq!(pears[field], packages, "{field}: {pears}");
    }
    let waste = &json["waste"]["canner"]["pear-quarts"];
    assert_eq!(
        (&waste["broken"], &waste["refrigerator"]),
        (&json!(1000), &json!(6000))
    );
}

/// Set back by 20 minutes and closed before it has caught up: time stands still meanwhile.
#[test]
fn a_clock_that_was_set_back_spoils_no_sum() {
    let mut day = Kitchen::open();
    day.does("open-box lot=plums-a product=plum-mash");
    day.wait(30).does("claim helper=wren station=wash");
    day.wait(-20).does("tally station=wash");
    day.wait(5).does("leave helper=wren");
    day.wait(10).does("close-day");
    let told = told(&day);
    all_adds_up(&told);
    assert_eq!(told.open_ms, 30 * MINUTE_MS);
    let wash = &told.stations[&crate::kitchen::id("wash")];
    assert_eq!((wash.busy_ms, wash.unstaffed_ms), (0, 30 * MINUTE_MS));
}

#[test]
fn each_canner_has_its_own_gaps_and_the_station_is_busy_while_one_is_on_the_heat() {
    let mut day = Kitchen::with(|plan| {
        plan["stations"]["canner"]["nature"]["canners"]["b"] =
            json!({"name": "Canner B", "holds": {"quart": 7}});
    });
    let load = |load: &str, canner: &str| {
        build("canner", load, &[("pear-quarts", 1)])
            .replace("canner=a", &format!("canner={canner}"))
    };
    day.fill_pear_quarts(3).all(&[
        &load("l1", "a"),
        "heat-load load=l1",
        "rolling-boil load=l1",
    ]);
    day.wait(10).all(&[
        &load("l2", "b"),
        "heat-load load=l2",
        "rolling-boil load=l2",
    ]);
    day.wait(15).all(&["heat-off load=l1", "lift-load load=l1"]);
    day.wait(10).all(&["heat-off load=l2", "lift-load load=l2"]);
    day.wait(20).all(&[&load("l3", "a"), "heat-load load=l3"]);
    let told = told(&day);
    all_adds_up(&told);
    let idle =
        ["l1", "l2", "l3"].map(|id| told.loads[&crate::kitchen::id(id)].canner_idle_before_ms);
    assert_eq!(idle, [None, None, Some(30 * MINUTE_MS)]);
    let canner = &told.stations[&crate::kitchen::id("canner")];
    assert_eq!(
        (canner.busy_ms, canner.unstaffed_ms),
        (35 * MINUTE_MS, 20 * MINUTE_MS)
    );
}
