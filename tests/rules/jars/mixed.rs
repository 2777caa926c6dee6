//! Jars that share a load: what fits, what never shares, and what the lead confirms.

use crate::kitchen::{Kitchen, build, build_mixed, order_of};
use putby::day::{Code, Role};
use serde_json::json;

const JARS: [(&str, i64); 2] = [("pear-pints", 3), ("sauce", 3)];

fn pears_and_sauce() -> Kitchen {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-pints", 3, 1250)
        .fill("tomatoes-a", "sauce", 3, 2500)
        .confirm("sauce");
    day
}

#[test]
fn only_the_leads_own_word_mixes_a_load() {
    let mut day = pears_and_sauce();
    let refusal = day.refuses(Code::MixedLoad, &build("canner", "l1", &JARS));
    assert!(
        refusal.words["products"].contains("tomato sauce"),
        "{refusal:?}"
    );
    let confirmed = build_mixed("canner", "l1", &JARS);
    day.refuses_role(Role::Helper, Code::MixedLoad, order_of(&confirmed));
    day.does(&confirmed);
}

#[test]
fn one_kind_of_jar_is_not_mixed_whatever_its_lots() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-quarts", 2, 2500)
        .fill("pears-b", "pear-quarts", 2, 2500);
    let jars = json!([{"product": "pear-quarts", "lot": "pears-a", "jars": 2},
        {"product": "pear-quarts", "lot": "pears-b", "jars": 2}]);
    day.helper_does(&format!(
        "build-load load=l1 station=canner canner=a jars={jars}"
    ));
}

#[test]
fn a_changed_load_that_becomes_mixed_asks_the_lead_too() {
    let mut day = pears_and_sauce();
    day.does(&build("canner", "l1", &JARS[..1]));
    let jars = json!([{"product": "pear-pints", "jars": 3}, {"product": "sauce", "jars": 3}]);
    let change = format!("change-load load=l1 jars={jars}");
    day.refuses(Code::MixedLoad, &change);
    let confirmed = format!("{change} mixed=true");
    day.refuses_role(Role::Helper, Code::MixedLoad, order_of(&confirmed));
    day.does(&confirmed);
    assert_eq!(day.view()["loads"]["l1"]["process"]["decided_by"], "sauce");
}

/// USDA Complete Guide, 0 to 1,000 ft, hot pack in pints: standard tomato sauce 35 minutes, pears
/// 20.
#[test]
fn a_mixed_load_has_the_longest_time_of_its_jars() {
    let mut day = pears_and_sauce();
    day.all(&[
        &build_mixed("canner", "l1", &JARS),
        "heat-load load=l1",
        "rolling-boil load=l1",
    ]);
    let process = day.view()["loads"]["l1"]["process"].clone();
    assert_eq!(
        (&process["tested"]["minutes"], &process["decided_by"]),
        (&json!(35), &json!("sauce"))
    );
    day.wait(35).wait_ms(-1);
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait_ms(1).does("heat-off load=l1");
    assert_eq!(day.view()["loads"]["l1"]["short"], false);
}

#[test]
fn raw_and_hot_packs_never_share_a_load_even_if_the_lead_says_so() {
    let mut day = Kitchen::open();
    day.fill("peaches-a", "peach-pints", 2, 1000)
        .fill("pears-a", "pear-pints", 2, 1250);
    let jars = [("peach-pints", 2), ("pear-pints", 2)];
    day.refuses(Code::UnlikePacks, &build_mixed("canner", "l1", &jars));
    day.does(&build("canner", "l1", &jars[..1]));
}

/// USDA Complete Guide, dial gauge, 0 to 2,000 ft: green beans 11 pounds, pears 6.
#[test]
fn unlike_pressures_never_share_a_load_even_if_the_lead_says_so() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-press", 2, 1250)
        .fill("beans-a", "beans", 2, 1000);
    let jars = [("pear-press", 2), ("beans", 2)];
    day.refuses(Code::UnlikePressure, &build_mixed("press", "l1", &jars));
}

#[test]
fn a_mixed_load_does_not_hold_more_than_the_canner() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-pints", 5, 1250)
        .fill("tomatoes-a", "sauce", 5, 2500)
        .confirm("sauce");
    let jars = |sauce: i64| [("pear-pints", 5), ("sauce", sauce)];
    day.refuses(Code::OverCapacity, &build_mixed("canner", "l1", &jars(5)));
    day.does(&build_mixed("canner", "l1", &jars(4)));
}

#[test]
fn each_kind_of_jar_in_a_mixed_load_is_confirmed_for_itself() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-pints", 3, 1250)
        .fill("tomatoes-a", "sauce", 3, 2500);
    day.confirm("pear-pints");
    day.refuses(Code::AcidUnconfirmed, &build_mixed("canner", "l1", &JARS));
}
