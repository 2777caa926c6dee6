//! The pressure canner: vented, at pressure for the whole time, opened only when it has fallen.
//!
//! Venting 10 minutes: Pacific Northwest Extension PNW 421. Ten minutes at zero before the lid is
//! opened: USDA Complete Guide. Green beans, hot pack, pints: 20 minutes.

use crate::kitchen::{Kitchen, build, order_of};
use putby::day::time::MINUTE_MS;
use putby::day::{Code, Role};
use serde_json::json;

fn heated() -> Kitchen {
    let mut day = Kitchen::open();
    day.fill("beans-a", "beans", 2, 1000);
    day.all(&[&build("press", "l1", &[("beans", 2)]), "heat-load load=l1"]);
    day
}

#[test]
fn no_time_runs_before_venting() {
    let mut day = heated();
    day.wait(60);
    let refusal = day.refuses(Code::NotVented, "rolling-boil load=l1");
    assert!(refusal.detail.contains("not vented"), "{refusal:?}");
    assert!(day.view()["loads"]["l1"].get("done_at").is_none());
}

#[test]
fn the_time_may_begin_after_ten_minutes_of_venting_and_not_a_millisecond_before() {
    let mut day = heated();
    day.does("vent load=l1");
    let began = day.now.0;
    let load = day.view()["loads"]["l1"].clone();
    assert_eq!(
        (&load["phase"], &load["vented_at"], &load["vent_until"]),
        (
            &json!("venting"),
            &json!(began),
            &json!(began + 10 * MINUTE_MS)
        )
    );
    day.wait(10).wait_ms(-1);
    let refusal = day.refuses(Code::NotVented, "rolling-boil load=l1");
    assert_eq!(refusal.words["minutes"], "1");
    day.wait_ms(1).does("rolling-boil load=l1");
    let done_at = day.view()["loads"]["l1"]["done_at"].as_i64().unwrap();
    assert_eq!(done_at - day.now.0, 20 * MINUTE_MS);
}

#[test]
fn lost_pressure_restarts_the_whole_time_and_needs_no_second_venting() {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2).wait(19).does("boil-lost load=l1");
    let load = day.view()["loads"]["l1"].clone();
    assert_eq!(
        (&load["phase"], &load["lost"]),
        (&json!("heating"), &json!(1))
    );
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait_ms(1).does("rolling-boil load=l1");
    day.wait(20).wait_ms(-1);
    day.refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait_ms(1).does("heat-off load=l1");
}

#[test]
fn a_canner_that_is_vented_again_is_vented_for_the_whole_time() {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2).wait(5);
    day.all(&["boil-lost load=l1", "vent load=l1"]);
    day.wait(9).refuses(Code::NotVented, "rolling-boil load=l1");
    day.wait(1).does("rolling-boil load=l1");
}

#[test]
fn a_plume_that_was_lost_is_vented_anew() {
    let mut day = heated();
    day.does("vent load=l1");
    day.wait(9).does("vent load=l1");
    day.wait(10).wait_ms(-1);
    day.refuses(Code::NotVented, "rolling-boil load=l1");
    day.wait_ms(1).does("rolling-boil load=l1");
}

#[test]
fn the_lid_stays_on_until_ten_minutes_after_the_gauge_is_at_zero() {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2).wait(20).does("heat-off load=l1");
    day.wait(60);
    let refusal = day.refuses(Code::StillUnderPressure, "lift-load load=l1");
    assert!(refusal.instead.contains("Never force it"), "{refusal:?}");
    assert!(day.view()["loads"]["l1"].get("rest_until").is_none());
    day.does("pressure-zero load=l1");
    let load = day.view()["loads"]["l1"].clone();
    let open_at = json!(day.now.0 + 10 * MINUTE_MS);
    assert_eq!(
        (&load["rest_until"], &load["zero_at"]),
        (&open_at, &json!(day.now.0))
    );
    day.wait(10).wait_ms(-1);
    day.refuses(Code::StillUnderPressure, "lift-load load=l1");
    day.wait_ms(1).does("lift-load load=l1");
    assert_eq!(day.waits("rack", "beans"), 2000);
}

#[test]
fn a_load_ended_early_is_opened_no_sooner() {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2).wait(5);
    day.does("heat-off load=l1 end_early=true");
    let lift = "lift-load load=l1 fate=freeze";
    day.wait(30).refuses(Code::StillUnderPressure, lift);
    day.does("pressure-zero load=l1");
    day.wait(9).refuses(Code::StillUnderPressure, lift);
    day.wait(1).does(lift);
}

#[test]
fn zero_is_said_once_with_the_heat_off_and_only_of_a_pressure_canner() {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2);
    day.refuses(Code::WrongPhase, "pressure-zero load=l1");
    day.wait(20).does("heat-off load=l1");
    day.does("pressure-zero load=l1");
    day.wait(5)
        .refuses(Code::WrongPhase, "pressure-zero load=l1");
    day.wait(5).does("lift-load load=l1");
    let mut day = Kitchen::open();
    day.boil_pears("l1", 2).wait(25).does("heat-off load=l1");
    day.refuses(Code::WrongPhase, "pressure-zero load=l1");
}

#[test]
fn only_a_heated_pressure_canner_is_vented() {
    let mut day = Kitchen::open();
    day.fill("beans-a", "beans", 2, 1000)
        .does(&build("press", "l1", &[("beans", 2)]));
    day.refuses(Code::WrongPhase, "vent load=l1");
    day.does("heat-load load=l1");
    day.does("vent load=l1");
    day.refuses(Code::WrongPhase, "heat-load load=l1");
    day.wait(10).does("rolling-boil load=l1");
    day.refuses(Code::WrongPhase, "vent load=l1");
    day.fill_pear_quarts(1)
        .does(&build("canner", "l2", &[("pear-quarts", 1)]));
    day.does("heat-load load=l2");
    day.refuses(Code::WrongStation, "vent load=l2");
}

#[test]
fn hands_at_the_pressure_canner_have_a_name_and_keep_the_house_rule() {
    let mut day = heated();
    day.refuses_role(Role::Helper, Code::NotSeated, order_of("vent load=l1"));
    day.refuses(Code::AgeRule, "vent load=l1 helper=bo");
    day.helper_does("vent load=l1 helper=osk");
    day.wait(10).does("rolling-boil load=l1");
    day.wait(20).does("heat-off load=l1");
    let zero = "pressure-zero load=l1";
    day.refuses_role(Role::Helper, Code::NotSeated, order_of(zero));
    day.refuses(Code::AgeRule, &format!("{zero} helper=bo"));
    day.helper_does(&format!("{zero} helper=edda"));
}
