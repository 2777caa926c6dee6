//! The house rule for ages holds whatever changes: seats, rules, pots, hands at the heat.

use crate::kitchen::{Kitchen, build, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role};
use serde_json::json;

#[test]
fn a_helpers_device_says_whose_hands_are_at_the_heat() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    for (given, order) in [
        ("", "heat-load load=l1"),
        ("heat-load load=l1", "rolling-boil load=l1"),
        ("rolling-boil load=l1", "boil-lost load=l1"),
    ] {
        if !given.is_empty() {
            day.does(given);
        }
        day.refuses_role(Role::Helper, Code::NotSeated, order_of(order));
    }
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    for order in [
        "stirred station=cook pot=big",
        "pot-done station=cook pot=big",
    ] {
        day.refuses_role(Role::Helper, Code::NotSeated, order_of(order));
    }
}

#[test]
fn a_child_does_not_start_the_canner() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    day.refuses(Code::AgeRule, "heat-load load=l1 helper=bo");
    day.refuses(Code::AdultNeeded, "heat-load load=l1 helper=silas");
    day.does("claim helper=silas station=canner beside=maren");
    day.does("heat-load load=l1 helper=silas");
}

#[test]
fn a_pot_nobody_minds_cannot_be_ticked_off() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.all(&[
        "start-pot station=cook pot=big minder=maren",
        "go-home helper=maren hurry=true",
    ]);
    let chore = day
        .chore("unminded-pot")
        .expect("a chore for the unminded pot");
    day.refuses(Code::NeedsMinder, &format!("finish-chore chore={chore}"));
    day.does(&format!("finish-chore chore={chore} helper=osk"));
    assert_eq!(
        day.view()["stations"]["cook"]["pots"]["big"]["minder"],
        "osk"
    );
}

fn teen_at_the_pot() -> Kitchen {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("claim helper=silas station=cook beside=osk");
    day.does("start-pot station=cook pot=big minder=silas backup=maren");
    day
}

#[test]
fn a_child_who_minds_a_pot_keeps_the_grown_up_beside() {
    teen_at_the_pot().refuses(Code::Depended, "leave helper=silas");
    teen_at_the_pot().refuses(Code::Depended, "switch helper=silas station=wash");
    let mut day = teen_at_the_pot();
    day.does("go-home helper=osk hurry=true");
    assert_eq!(
        day.view()["stations"]["cook"]["pots"]["big"]["minder"],
        "maren"
    );
}

#[test]
fn a_stricter_rule_does_not_leave_a_child_where_it_forbids() {
    let rules = json!({"blade": [{"from_age": 0, "verdict": "never"},
        {"from_age": 18, "verdict": "allowed"}]});
    let mut day = Kitchen::open();
    day.does("claim helper=wren station=slice beside=osk");
    let order = json!({"order": "set-age-rules", "rules": rules});
    day.refuses_role(Role::Lead, Code::InUse, order.clone());
    day.does("leave helper=wren");
    day.does_json(order);
}

#[test]
fn a_station_does_not_become_hot_under_a_child() {
    let mut day = Kitchen::open();
    day.does("claim helper=bo station=wash");
    let mut plan = crate::test_plan::plan()["stations"]["wash"].clone();
    plan["needs"] = json!(["heat"]);
    let order = json!({"order": "change-station", "station": "wash", "plan": plan});
    day.refuses_role(Role::Lead, Code::InUse, order.clone());
    day.does("leave helper=bo");
    day.does_json(order);
}

#[test]
fn a_pot_is_not_handed_to_a_child_whose_grown_up_just_left() {
    let mut day = Kitchen::with(|plan| {
        plan["helpers"]["bo"]["age"] = json!(14);
        plan["stations"]["cook"]["seats"] = json!(2);
    });
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.all(&[
        "claim helper=silas station=cook beside=osk",
        "claim helper=bo station=cook beside=osk",
        "start-pot station=cook pot=big minder=silas backup=bo",
        "go-home helper=osk hurry=true",
    ]);
    let pot = day.view()["stations"]["cook"]["pots"]["big"].clone();
    assert_eq!(pot.get("minder"), None, "{pot}");
    assert!(day.chore("unminded-pot").is_some());
}

#[test]
fn a_stricter_rule_does_not_leave_a_child_minding_a_pot() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=juno");
    let rules = json!({"heat": [{"from_age": 0, "verdict": "never"},
        {"from_age": 18, "verdict": "allowed"}]});
    let order = json!({"order": "set-age-rules", "rules": rules});
    let refusal = day
        .gives(Role::Lead, order)
        .expect_err("Juno, 16, minds the pot");
    assert!(
        matches!(refusal.code, Code::InUse | Code::Depended),
        "{refusal:?}"
    );
}
