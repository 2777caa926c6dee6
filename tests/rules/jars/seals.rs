//! The seal check: the only way from the rack, with its hours.
//!
//! Cooling 12 to 24 hours: USDA Complete Guide. Processing an unsealed jar again within 24 hours
//! under a new lid: Michigan State University Extension.

use crate::kitchen::{Kitchen, build, order_of, seals};
use putby::day::{Code, Role};
use serde_json::{Value, json};

const HOUR: i64 = 60;

fn racked(jars: i64) -> Kitchen {
    let mut day = Kitchen::open();
    day.rack_pears("l1", jars);
    day
}

fn pears(counts: &[(&str, u32)]) -> String {
    seals("l1", "pear-quarts", counts)
}

fn done(day: &Kitchen, station: &str) -> Value {
    day.view()["stations"][station]["done"]["pear-quarts"].clone()
}

#[test]
fn seals_are_checked_twelve_hours_after_the_lifting_and_not_before() {
    let mut day = racked(2);
    let sealed = pears(&[("sealed", 2)]);
    day.refuses(Code::TimeNotOver, &sealed);
    day.wait(12 * HOUR).wait_ms(-1);
    let refusal = day.refuses(Code::TimeNotOver, &sealed);
    assert_eq!(refusal.words["hours"], "12");
    for found in ["refrigerated", "frozen", "reprocessed", "broken"] {
        day.refuses(Code::TimeNotOver, &pears(&[(found, 1)]));
    }
    day.wait_ms(1).does(&sealed);
    assert_eq!(day.finished("pear-quarts"), 2000);
}

#[test]
fn seals_are_not_checked_before_the_jars_are_out() {
    let mut day = Kitchen::open();
    let sealed = pears(&[("sealed", 2)]);
    day.refuses(Code::Unknown, &sealed);
    day.boil_pears("l1", 2);
    day.refuses(Code::WrongPhase, &sealed);
    day.wait(13 * HOUR).does("heat-off load=l1");
    day.refuses(Code::WrongPhase, &sealed);
}

#[test]
fn seals_are_checked_on_a_closed_day_too() {
    let mut day = racked(3);
    day.does("close-day");
    day.wait(12 * HOUR).wait_ms(-1);
    day.refuses(Code::TimeNotOver, &pears(&[("sealed", 2)]));
    day.wait_ms(1)
        .helper_does(&format!("{} helper=wren", pears(&[("sealed", 2)])));
    day.does(&pears(&[("refrigerated", 1)]));
    assert_eq!(day.finished("pear-quarts"), 2000);
    assert_eq!(day.waits("rack", "pear-quarts"), 0);
}

#[test]
fn partial_checks_add_up_and_nothing_is_checked_twice() {
    let mut day = racked(7);
    day.wait(12 * HOUR);
    let mut left = 7;
    for (sealed, frozen, broken) in [(2, 0, 0), (1, 1, 0), (1, 0, 1)] {
        let counts = [("sealed", sealed), ("frozen", frozen), ("broken", broken)];
        day.does(&pears(&counts));
        left -= sealed + frozen + broken;
        let load = day.view()["loads"]["l1"].clone();
        let unchecked = &load["unchecked"]["pear-quarts"]["pears-a"];
        assert_eq!(unchecked.as_i64(), Some(i64::from(left) * 1000));
        day.wait(1);
    }
    day.refuses(Code::BadValue, &pears(&[("sealed", 2)]));
    day.does(&pears(&[("sealed", 1)]));
    assert_eq!(day.view()["loads"]["l1"]["unchecked"], json!({}));
    day.refuses(Code::BadValue, &pears(&[("sealed", 1)]));
    assert_eq!(day.finished("pear-quarts"), 5000);
    let rack = done(&day, "rack");
    let rows = ["came_in", "taken", "made", "diverted", "scrapped"].map(|row| rack[row].as_i64());
    assert_eq!(rows, [7000, 5000, 5000, 1000, 1000].map(Some));
}

#[test]
fn no_more_jars_are_checked_than_stand() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7).wait(25).does("heat-off load=l1");
    day.does("lift-load load=l1 broken=[{\"product\":\"pear-quarts\",\"jars\":1}]");
    day.wait(12 * HOUR);
    for counts in [
        &[("sealed", 7)][..],
        &[("sealed", 6), ("broken", 1)],
        &[("sealed", u32::MAX), ("frozen", u32::MAX)],
        &[("sealed", 0)],
        &[],
    ] {
        day.refuses(Code::BadValue, &pears(counts));
    }
    day.refuses(Code::BadValue, "check-seals load=l1 jars=[]");
    let twice = json!([{"product": "pear-quarts", "sealed": 4},
        {"product": "pear-quarts", "sealed": 3}]);
    day.refuses(Code::BadValue, &format!("check-seals load=l1 jars={twice}"));
    day.refuses(Code::BadValue, &seals("l1", "pear-pints", &[("sealed", 1)]));
    day.does(&pears(&[("sealed", 6)]));
}

#[test]
fn the_jars_of_each_load_are_its_own() {
    let mut day = racked(2);
    day.rack_pears("l2", 3).wait(12 * HOUR);
    day.refuses(Code::BadValue, &pears(&[("sealed", 3)]));
    day.does(&seals("l2", "pear-quarts", &[("sealed", 3)]));
    assert_eq!(day.waits("rack", "pear-quarts"), 2000);
    day.does(&pears(&[("sealed", 2)]));
    assert_eq!(day.finished("pear-quarts"), 5000);
}

#[test]
fn jars_of_several_lots_are_checked_lot_by_lot() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-quarts", 2, 2500)
        .fill("pears-b", "pear-quarts", 2, 2500);
    day.all(&[
        &build("canner", "l1", &[("pear-quarts", 4)]),
        "heat-load load=l1",
        "rolling-boil load=l1",
    ]);
    day.wait(25).all(&["heat-off load=l1", "lift-load load=l1"]);
    day.wait(12 * HOUR);
    day.refuses(Code::BadValue, &pears(&[("sealed", 4)]));
    let jars = json!([{"product": "pear-quarts", "lot": "pears-a", "sealed": 2},
        {"product": "pear-quarts", "lot": "pears-b", "sealed": 1, "frozen": 1}]);
    day.does(&format!("check-seals load=l1 jars={jars}"));
    let finished = &day.state.products[&crate::kitchen::id("pear-quarts")].finished;
    let of = |lot: &str| finished[&crate::kitchen::id(lot)].0;
    assert_eq!((of("pears-a"), of("pears-b")), (2000, 1000));
}

#[test]
fn jars_that_did_not_seal_go_into_the_cold_or_the_bin_and_not_to_the_shelf() {
    let mut day = racked(4);
    day.wait(30 * HOUR);
    day.does(&pears(&[("sealed", 1), ("refrigerated", 1), ("frozen", 1)]));
    day.does(&pears(&[("broken", 1)]));
    assert_eq!(day.finished("pear-quarts"), 1000);
    let rack = done(&day, "rack");
    assert_eq!(
        (&rack["diverted"], &rack["scrapped"]),
        (&json!(2000), &json!(1000))
    );
}

#[test]
fn a_failed_jar_is_processed_again_as_a_new_load_until_twenty_four_hours() {
    let mut day = racked(3);
    let again = pears(&[("sealed", 2), ("reprocessed", 1)]);
    day.wait(24 * HOUR).does(&again);
    assert_eq!(
        (
            day.finished("pear-quarts"),
            day.waits("canner", "pear-quarts")
        ),
        (2000, 1000)
    );
    day.all(&[
        &build("canner", "l2", &[("pear-quarts", 1)]),
        "heat-load load=l2",
        "rolling-boil load=l2",
    ]);
    day.wait(24).refuses(Code::TimeNotOver, "heat-off load=l2");
    day.wait(1).all(&["heat-off load=l2", "lift-load load=l2"]);
    let sealed = seals("l2", "pear-quarts", &[("sealed", 1)]);
    day.wait(12 * HOUR).does(&sealed);
    assert_eq!(day.finished("pear-quarts"), 3000);
    let mut day = racked(3);
    day.wait(24 * HOUR).wait_ms(1);
    let refusal = day.refuses(Code::TooLate, &again);
    assert!(refusal.instead.contains("refrigerator"), "{refusal:?}");
    day.does(&pears(&[("sealed", 2), ("refrigerated", 1)]));
}

#[test]
fn a_jar_to_be_processed_again_asks_for_its_acid_again() {
    let mut day = Kitchen::open();
    day.fill("tomatoes-a", "sauce", 2, 2500).confirm("sauce");
    day.all(&[
        &build("canner", "l1", &[("sauce", 2)]),
        "heat-load load=l1",
        "rolling-boil load=l1",
    ]);
    day.wait(35).all(&["heat-off load=l1", "lift-load load=l1"]);
    day.wait(12 * HOUR)
        .does(&seals("l1", "sauce", &[("sealed", 1), ("reprocessed", 1)]));
    let again = build("canner", "l2", &[("sauce", 1)]);
    day.refuses(Code::AcidUnconfirmed, &again);
    day.confirm("sauce").does(&again);
}

#[test]
fn raw_packed_jars_and_those_of_a_closed_day_are_not_processed_again() {
    let mut day = Kitchen::open();
    day.fill("peaches-a", "peach-pints", 2, 1000);
    day.all(&[
        &build("canner", "l1", &[("peach-pints", 2)]),
        "heat-load load=l1",
        "rolling-boil load=l1",
    ]);
    day.wait(25).all(&["heat-off load=l1", "lift-load load=l1"]);
    let failed = seals("l1", "peach-pints", &[("reprocessed", 1)]);
    let refusal = day.wait(12 * HOUR).refuses(Code::TooLate, &failed);
    assert!(refusal.detail.contains("hot-packed"), "{refusal:?}");
    day.does(&seals("l1", "peach-pints", &[("sealed", 1), ("frozen", 1)]));
    let mut day = racked(2);
    day.does("close-day");
    let refusal = day
        .wait(12 * HOUR)
        .refuses(Code::TooLate, &pears(&[("reprocessed", 1)]));
    assert!(refusal.detail.contains("closed"), "{refusal:?}");
}

#[test]
fn jars_leave_the_rack_by_nothing_but_their_seal_check() {
    let mut day = racked(3);
    for _ in 0..2 {
        for order in [
            "tally station=rack product=pear-quarts",
            "tally station=rack",
            "recount station=rack product=pear-quarts lot=pears-a amount=2000",
            "recount station=rack product=pear-quarts lot=pears-a amount=3000",
            "recount station=rack product=pear-quarts lot=pears-a amount=4000",
            "recount station=rack product=pear-quarts lot=pears-a amount=0",
            "divert station=rack product=pear-quarts amount=1000 to={\"as\":\"fresh\"}",
            "divert station=rack product=pear-quarts amount=1000 to={\"as\":\"scraps\"}",
            "divert station=rack product=pear-quarts amount=1000 to={\"as\":\"refrigerator\"}",
            "split-lot lot=pears-a new_lot=soft name=Soft amount=1000 \
             waiting_at={\"product\":\"pear-quarts\",\"station\":\"rack\"}",
            "send-back station=rack product=pear-quarts amount=1000 to=canner reason=Open",
            "send-back station=rack product=pear-quarts amount=1000 to=fill reason=Open",
        ] {
            let refusal = day.refuses(Code::SealsFirst, order);
            assert!(refusal.detail.contains("Rack"), "{refusal:?}");
        }
        day.refuses(Code::NothingToUndo, "undo-tally station=rack");
        day.wait(13 * HOUR);
    }
    assert_eq!(
        (
            day.waits("rack", "pear-quarts"),
            day.finished("pear-quarts")
        ),
        (3000, 0)
    );
}

#[test]
fn finished_is_what_sealed_over_all_loads() {
    let mut day = racked(4);
    day.rack_pears("l2", 4).rack_beans("l3", 3);
    day.wait(12 * HOUR);
    day.does(&pears(&[("sealed", 3), ("reprocessed", 1)]));
    day.does(&seals("l2", "pear-quarts", &[("sealed", 2), ("frozen", 2)]));
    day.does(&seals("l3", "beans", &[("sealed", 2), ("broken", 1)]));
    assert_eq!(
        (day.finished("pear-quarts"), day.finished("beans")),
        (5000, 2000)
    );
    let view = day.view();
    assert_eq!(view["products"]["pear-quarts"]["cooling"], 0);
    assert_eq!(view["products"]["pear-quarts"]["finished"], 5000);
}

#[test]
fn a_route_changed_under_jars_on_the_rack_loses_none_of_them() {
    let mut day = racked(2);
    let mut plan = crate::test_plan::plan()["products"]["pear-quarts"].clone();
    plan["route"][2]["station"] = json!("press");
    let order = json!({"order": "change-product", "product": "pear-quarts", "plan": plan});
    day.refuses_role(Role::Lead, Code::InUse, order.clone());
    day.wait(12 * HOUR).does(&pears(&[("sealed", 2)]));
    day.does_json(order);
    assert_eq!(
        (
            day.waits("rack", "pear-quarts"),
            day.finished("pear-quarts")
        ),
        (0, 2000)
    );
}

#[test]
fn somebody_known_checks_the_seals() {
    let mut day = racked(2);
    day.wait(12 * HOUR);
    let sealed = pears(&[("sealed", 1)]);
    day.refuses_role(Role::Helper, Code::NotSeated, order_of(&sealed));
    day.refuses_role(Role::Watcher, Code::WatchOnly, order_of(&sealed));
    day.refuses(Code::Unknown, &format!("{sealed} helper=nobody"));
    day.helper_does(&format!("{sealed} helper=wren"));
}
