//! What nobody may get round: no jar reaches the shelf but out of a full process.

use crate::kitchen::{Kitchen, MORNING, build, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role, leftovers};
use serde_json::{Value, json};

fn opens(change: impl FnOnce(&mut Value)) -> Option<Code> {
    let mut plan = crate::kitchen::plan();
    change(&mut plan);
    let order = json!({"order": "open-day", "plan": plan});
    Kitchen::dark()
        .gives(Role::Lead, order)
        .err()
        .map(|refusal| refusal.code)
}

#[test]
fn filled_jars_are_not_diverted_past_the_canner() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(2);
    let to = r#"{"as":"route","product":"pear-quarts","station":"rack"}"#;
    k.refuses(
        Code::NoWay,
        &format!("divert station=canner product=pear-quarts amount=1000 to={to}"),
    );
}

#[test]
fn no_other_product_joins_a_canned_one_after_its_canner() {
    let code = opens(|plan| {
        let route = &mut plan["products"]["plum-tubs"]["route"];
        route[0]["onward"] = json!([
            {"product": "plum-puree", "station": "rack", "weight": 1}
        ]);
    });
    assert_eq!(code, Some(Code::BadValue));
}

#[test]
fn the_altitude_does_not_change_under_a_load() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7);
    k.refuses(Code::InUse, "change-day altitude_ft=5000");
    k.does("change-day altitude_ft=640 name=Same");
}

#[test]
fn a_load_that_is_not_heated_yet_does_not_keep_the_time_of_another_altitude() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    // Either the change waits, or the load is timed anew; it must not run on with 25 minutes.
    let changed = k.gives(Role::Lead, order_of("change-day altitude_ft=5000"));
    let minutes = k.view()["loads"]["l1"]["process"]["tested"]["minutes"].clone();
    assert!(changed.is_err() || minutes == 35, "{minutes}");
}

#[test]
fn jars_do_not_appear_on_a_rack_by_being_counted_or_carried() {
    let mut k = Kitchen::open();
    k.rack_pears("l1", 2);
    let count = |n: i64| format!("recount station=rack product=pear-quarts lot=pears-a amount={n}");
    k.does(&count(1000));
    let order = order_of(&count(3000));
    assert!(k.gives(Role::Helper, order).is_err());
    let carried = opens(|plan| {
        plan["carried"] = json!([{"station": "rack", "product": "pear-quarts", "lot": "pears-a",
            "amount": 1000, "since": MORNING.0}]);
    });
    assert_eq!(carried, Some(Code::BadValue));
}

#[test]
fn jars_on_the_rack_keep_what_they_were_processed_as() {
    let mut k = Kitchen::open();
    k.rack_pears("l1", 2);
    let mut plan = crate::kitchen::plan()["products"]["pear-quarts"].clone();
    plan["ends_in"]["jar"] = json!("pint");
    let order = json!({"order": "change-product", "product": "pear-quarts", "plan": plan});
    k.refuses_role(Role::Lead, Code::InUse, order);
}

fn with_refrigerator() -> Kitchen {
    Kitchen::with(|plan| {
        plan["stations"]["cold"] = json!({"name": "Refrigerator", "work": "other", "seats": 0,
            "nature": {"is": "hold"}});
        let route = plan["products"]["pear-quarts"]["route"]
            .as_array_mut()
            .unwrap();
        let mut cold = route[0].clone();
        cold["station"] = json!("cold");
        route.insert(1, cold);
    })
}

#[test]
fn fruit_in_a_refrigerator_before_the_canner_need_not_cool_twelve_hours() {
    let mut k = with_refrigerator();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    k.does("tally station=cold product=pear-quarts");
    assert_eq!(k.waits("fill", "pear-quarts"), 5000);
}

#[test]
fn fruit_in_a_refrigerator_before_the_canner_is_carried_over() {
    let mut k = with_refrigerator();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    k.does("close-day");
    let left = leftovers(&k.state);
    assert_eq!(left.len(), 1, "{left:?}");
    assert_eq!((left[0].station.as_str(), left[0].amount.0), ("cold", 5000));
}

#[test]
fn a_helpers_device_says_whose_hands_are_at_the_heat() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    for (given, order) in [
        ("", "heat-load load=l1"),
        ("heat-load load=l1", "rolling-boil load=l1"),
        ("rolling-boil load=l1", "boil-lost load=l1"),
    ] {
        if !given.is_empty() {
            k.does(given);
        }
        k.refuses_role(Role::Helper, Code::NotSeated, order_of(order));
    }
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    for order in [
        "stirred station=cook pot=big",
        "pot-done station=cook pot=big",
    ] {
        k.refuses_role(Role::Helper, Code::NotSeated, order_of(order));
    }
}

#[test]
fn a_child_does_not_start_the_canner() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    k.refuses(Code::AgeRule, "heat-load load=l1 helper=bo");
    k.refuses(Code::AdultNeeded, "heat-load load=l1 helper=silas");
    k.does("claim helper=silas station=canner beside=maren");
    k.does("heat-load load=l1 helper=silas");
}

#[test]
fn a_pot_nobody_minds_cannot_be_ticked_off() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.all(&[
        "start-pot station=cook pot=big minder=maren",
        "go-home helper=maren hurry=true",
    ]);
    let chore = k
        .chore("unminded-pot")
        .expect("a chore for the unminded pot");
    k.refuses(Code::NeedsMinder, &format!("finish-chore chore={chore}"));
    k.does(&format!("finish-chore chore={chore} helper=osk"));
    assert_eq!(k.view()["stations"]["cook"]["pots"]["big"]["minder"], "osk");
}

fn teen_at_the_pot() -> Kitchen {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("claim helper=silas station=cook beside=osk");
    k.does("start-pot station=cook pot=big minder=silas backup=maren");
    k
}

#[test]
fn a_child_who_minds_a_pot_keeps_the_grown_up_beside() {
    teen_at_the_pot().refuses(Code::Depended, "leave helper=silas");
    teen_at_the_pot().refuses(Code::Depended, "switch helper=silas station=wash");
    let mut k = teen_at_the_pot();
    k.does("go-home helper=osk hurry=true");
    assert_eq!(
        k.view()["stations"]["cook"]["pots"]["big"]["minder"],
        "maren"
    );
}

#[test]
fn a_stricter_rule_does_not_leave_a_child_where_it_forbids() {
    let rules = json!({"blade": [{"from_age": 0, "verdict": "never"},
        {"from_age": 18, "verdict": "allowed"}]});
    let mut k = Kitchen::open();
    k.does("claim helper=wren station=slice beside=osk");
    let order = json!({"order": "set-age-rules", "rules": rules});
    k.refuses_role(Role::Lead, Code::InUse, order.clone());
    k.does("leave helper=wren");
    k.does_json(order);
}

#[test]
fn a_station_does_not_become_hot_under_a_child() {
    let mut k = Kitchen::open();
    k.does("claim helper=bo station=wash");
    let mut plan = crate::kitchen::plan()["stations"]["wash"].clone();
    plan["needs"] = json!(["heat"]);
    let order = json!({"order": "change-station", "station": "wash", "plan": plan});
    k.refuses_role(Role::Lead, Code::InUse, order.clone());
    k.does("leave helper=bo");
    k.does_json(order);
}

#[test]
fn a_running_station_takes_no_more_of_a_shared_thing_than_there_is() {
    let mut k = Kitchen::open();
    for pot in ["big", "small"] {
        for order in filled_pot(pot) {
            k.does(&order);
        }
        k.does(&format!("start-pot station=cook pot={pot} minder=maren"));
    }
    let mut plan = crate::kitchen::plan()["stations"]["wash"].clone();
    plan["occupies"] = json!({"burners": 1});
    k.does("claim helper=bo station=wash");
    let order = json!({"order": "change-station", "station": "wash", "plan": plan});
    let refusal = k
        .gives(Role::Lead, order)
        .expect_err("all burners are in use");
    assert!(
        matches!(refusal.code, Code::InUse | Code::ResourceBusy),
        "{refusal:?}"
    );
}

#[test]
fn the_load_names_its_largest_jar() {
    let mut k = Kitchen::open();
    k.fill("peaches-a", "peach-pints", 2, 1000)
        .fill_pear_quarts(2);
    // Peaches raw in pints need 25 minutes, as pears in quarts do (USDA Complete Guide, 0-1000 ft).
    k.does(&build(
        "canner",
        "l1",
        &[("peach-pints", 2), ("pear-quarts", 2)],
    ));
    let view = k.view();
    let process = &view["loads"]["l1"]["process"];
    assert_eq!(
        (&process["tested"]["minutes"], &process["jar"]),
        (&json!(25), &json!("quart"))
    );
}
