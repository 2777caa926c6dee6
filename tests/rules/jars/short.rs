//! Time cut short, and time run longer.

use crate::kitchen::{Kitchen, build, order_of, seals};
use putby::day::{Code, Role};
use serde_json::json;

const FATES: [&str; 3] = ["refrigerate", "freeze", "reprocess"];

/// A load the lead ended a millisecond too early.
fn ended_early() -> Kitchen {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 4).wait(25).wait_ms(-1);
    day.does("heat-off load=l1 end_early=true");
    day
}

#[test]
fn only_the_lead_ends_a_load_early() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 4).wait(10);
    let order = order_of("heat-off load=l1 helper=osk end_early=true");
    day.refuses_role(Role::Helper, Code::LeadOnly, order);
    let order = order_of("heat-off load=l1 helper=osk");
    day.refuses_role(Role::Helper, Code::TimeNotOver, order);
    day.does("heat-off load=l1 end_early=true");
    assert_eq!(day.view()["loads"]["l1"]["short"], true);
}

#[test]
fn jars_of_a_short_load_need_a_fate_and_never_stand_on_rack_or_shelf() {
    for fate in FATES {
        let mut day = ended_early();
        let refusal = day.refuses(Code::NeedsFate, "lift-load load=l1");
        assert!(refusal.detail.contains("not safe"), "{refusal:?}");
        day.does(&format!("lift-load load=l1 fate={fate}"));
        let load = day.view()["loads"]["l1"].clone();
        assert_eq!(load["unchecked"], json!({}), "{fate}");
        assert!(load.get("seals_from").is_none() && load.get("seals_by").is_none());
        assert_eq!(day.waits("rack", "pear-quarts"), 0);
        for hours in [12, 12] {
            day.wait(hours * 60);
            day.refuses(
                Code::BadValue,
                &seals("l1", "pear-quarts", &[("sealed", 4)]),
            );
        }
        assert_eq!(day.finished("pear-quarts"), 0, "{fate}");
    }
}

#[test]
fn a_short_load_is_processed_again_only_as_a_new_load_for_the_whole_time() {
    let mut day = ended_early();
    day.does("lift-load load=l1 fate=reprocess");
    for order in ["heat-load", "rolling-boil", "heat-off", "lift-load"] {
        day.refuses(Code::WrongPhase, &format!("{order} load=l1"));
    }
    let again = build("canner", "l2", &[("pear-quarts", 4)]);
    day.refuses(Code::IdTaken, &again.replace("l2", "l1"));
    day.all(&[&again, "heat-load load=l2", "rolling-boil load=l2"]);
    day.wait(25).wait_ms(-1);
    day.refuses(Code::TimeNotOver, "heat-off load=l2");
    day.wait_ms(1)
        .all(&["heat-off load=l2", "lift-load load=l2"]);
    day.wait(12 * 60)
        .does(&seals("l2", "pear-quarts", &[("sealed", 4)]));
    assert_eq!(day.finished("pear-quarts"), 4000);
}

/// University of Nebraska-Lincoln Extension: if the process itself was wrong, can again within two
/// hours only.
#[test]
fn jars_of_a_short_load_that_stood_more_than_two_hours_are_not_processed_again() {
    let mut day = ended_early();
    day.wait(120).wait_ms(1);
    let refusal = day.refuses(Code::TooLate, "lift-load load=l1 fate=reprocess");
    assert!(refusal.instead.contains("refrigerator"), "{refusal:?}");
    day.does("lift-load load=l1 fate=refrigerate");
    let mut day = ended_early();
    day.wait(120).does("lift-load load=l1 fate=reprocess");
    let again = build("canner", "l2", &[("pear-quarts", 4)]);
    day.wait_ms(1).refuses(Code::JarsStood, &again);
}

#[test]
fn heat_off_before_any_boil_is_short_too() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2);
    day.all(&[
        &build("canner", "l1", &[("pear-quarts", 2)]),
        "heat-load load=l1",
    ]);
    day.wait(90).does("heat-off load=l1 end_early=true");
    assert_eq!(day.view()["loads"]["l1"]["short"], true);
    day.refuses(Code::NeedsFate, "lift-load load=l1");
}

#[test]
fn a_boil_that_was_lost_counts_for_nothing_however_long_it_was() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2).wait(200).does("boil-lost load=l1");
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    day.does("rolling-boil load=l1");
    day.wait(24).refuses(Code::TimeNotOver, "heat-off load=l1");
    day.does("heat-off load=l1 end_early=true");
    assert_eq!(day.view()["loads"]["l1"]["short"], true);
}

#[test]
fn longer_than_tested_is_allowed() {
    for minutes in [25, 26, 45, 180] {
        let mut day = Kitchen::open();
        day.boil_pears("l1", 2).wait(minutes);
        day.helper_does("heat-off load=l1 helper=osk");
        day.does("lift-load load=l1");
        assert_eq!(day.view()["loads"]["l1"]["short"], false, "{minutes}");
        day.wait(12 * 60)
            .does(&seals("l1", "pear-quarts", &[("sealed", 2)]));
    }
    let mut day = Kitchen::open();
    day.press_beans("l1", 2).wait(45).does("heat-off load=l1");
    assert_eq!(day.view()["loads"]["l1"]["short"], false);
}

#[test]
fn the_leads_early_end_after_the_time_is_no_early_end() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2).wait(25);
    day.does("heat-off load=l1 end_early=true");
    assert_eq!(day.view()["loads"]["l1"]["short"], false);
    day.does("lift-load load=l1");
}
