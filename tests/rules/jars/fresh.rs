//! Jars that stood are not processed as if fresh.
//!
//! Two hours is the published limit (University of Nebraska-Lincoln Extension) for food whose
//! process was wrong to be canned again at all.

use crate::kitchen::{Kitchen, build};
use putby::day::time::{HOUR_MS, Timestamp};
use putby::day::{Code, Role, plan_again};
use serde_json::{Value, json};

fn load(jars: i64) -> String {
    build("canner", "l1", &[("pear-quarts", jars)])
}

#[test]
fn jars_are_fresh_for_two_hours_and_not_a_millisecond_longer() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(120).does(&load(2));
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(120).wait_ms(1);
    let refusal = day.refuses(Code::JarsStood, &load(2));
    assert_eq!(refusal.words["stood"], "2 h 0 min");
    for way in ["refrigerator", "freezer", "filled anew"] {
        assert!(refusal.instead.contains(way), "{refusal:?}");
    }
}

#[test]
fn one_old_jar_keeps_the_load_from_being_fresh() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(1).wait(121).fill_pear_quarts(1);
    day.refuses(Code::JarsStood, &load(2));
    day.does("divert station=canner product=pear-quarts amount=1000 to={\"as\":\"refrigerator\"}");
    day.does(&load(1));
}

#[test]
fn jars_sent_back_and_filled_anew_are_fresh_again() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(180);
    day.does("send-back station=canner product=pear-quarts amount=2000 to=fill reason=Stood");
    day.refuses(Code::NotEnough, &load(2));
    day.does("tally station=fill product=pear-quarts amount=5000");
    day.does(&load(2));
}

#[test]
fn a_count_and_a_load_taken_apart_make_no_jar_fresher() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(119);
    day.all(&[&load(2), "cancel-load load=l1"]);
    day.wait(2)
        .does("recount station=canner product=pear-quarts lot=pears-a amount=3000");
    let again = load(1).replace("l1", "l2");
    day.refuses(Code::JarsStood, &again);
    day.does("recount station=canner product=pear-quarts lot=pears-a amount=1000");
    day.refuses(Code::JarsStood, &again);
    day.all(&[
        "recount station=canner product=pear-quarts lot=pears-a amount=0",
        "recount station=canner product=pear-quarts lot=pears-a amount=2000",
    ]);
    day.refuses(Code::JarsStood, &again);
}

#[test]
fn a_load_that_was_left_does_not_go_on_the_heat_as_fresh() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(119).does(&load(2));
    day.wait(1).does("heat-load load=l1");
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(119).does(&load(2));
    day.wait(1)
        .wait_ms(1)
        .refuses(Code::JarsStood, "heat-load load=l1");
    day.does("cancel-load load=l1");
}

/// The next day of a day that closed with two jars before the canner.
fn next_day(change: impl FnOnce(&mut Value)) -> (Kitchen, bool) {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2).wait(10).does("close-day");
    let mut plan = serde_json::to_value(plan_again(&day.state)).unwrap();
    change(&mut plan);
    let mut next = Kitchen::dark();
    next.now = Timestamp(day.now.0 + 10 * HOUR_MS);
    let order = json!({"order": "open-day", "plan": plan});
    let opened = next.gives(Role::Lead, order).is_ok();
    (next, opened)
}

#[test]
fn jars_carried_over_from_yesterday_are_never_fresh() {
    let (mut next, _) = next_day(|_| {});
    assert_eq!(next.waits("canner", "pear-quarts"), 2000);
    next.refuses(Code::JarsStood, &load(2));
    next.does("recount station=canner product=pear-quarts lot=pears-a amount=3000");
    next.refuses(Code::JarsStood, &load(3));
    next.does("send-back station=canner product=pear-quarts amount=3000 to=fill reason=Stood");
    next.does("tally station=fill product=pear-quarts amount=7500");
    next.does(&load(3));
}

#[test]
fn nothing_is_carried_over_from_the_future() {
    let (_, opened) = next_day(|plan| {
        let later = plan["carried"][0]["since"].as_i64().unwrap() + 1000 * HOUR_MS;
        plan["carried"][0]["since"] = json!(later);
    });
    assert!(!opened, "such a plan is refused");
}
