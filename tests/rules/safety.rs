//! What nobody may get round: no jar reaches the shelf but out of a full process.

use crate::kitchen::{Kitchen, MORNING, build, build_mixed, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role, leftovers};
use serde_json::{Value, json};

fn opens(change: impl FnOnce(&mut Value)) -> Option<Code> {
    let mut plan = crate::test_plan::plan();
    change(&mut plan);
    let order = json!({"order": "open-day", "plan": plan});
    Kitchen::dark()
        .gives(Role::Lead, order)
        .err()
        .map(|refusal| refusal.code)
}

#[test]
fn filled_jars_are_not_diverted_past_the_canner() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2);
    let to = r#"{"as":"route","product":"pear-quarts","station":"rack"}"#;
    day.refuses(
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
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7);
    day.refuses(Code::InUse, "change-day altitude_ft=5000");
    day.does("change-day altitude_ft=640 name=Same");
}

#[test]
fn a_load_that_is_not_heated_yet_does_not_keep_the_time_of_another_altitude() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    // Either the change waits, or the load is timed anew; it must not run on with 25 minutes.
    let changed = day.gives(Role::Lead, order_of("change-day altitude_ft=5000"));
    let minutes = day.view()["loads"]["l1"]["process"]["tested"]["minutes"].clone();
    assert!(changed.is_err() || minutes == 35, "{minutes}");
}

#[test]
fn jars_do_not_appear_on_a_rack_by_being_counted_or_carried() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 2);
    let count = |n: i64| format!("recount station=rack product=pear-quarts lot=pears-a amount={n}");
    for jars in [0, 1000, 2000, 3000] {
        day.refuses(Code::SealsFirst, &count(jars));
    }
    let carried = opens(|plan| {
        plan["carried"] = json!([{"station": "rack", "product": "pear-quarts", "lot": "pears-a",
            "amount": 1000, "since": MORNING.0}]);
    });
    assert_eq!(carried, Some(Code::BadValue));
}

#[test]
fn jars_on_the_rack_keep_what_they_were_processed_as() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 2);
    let mut plan = crate::test_plan::plan()["products"]["pear-quarts"].clone();
    plan["ends_in"]["jar"] = json!("pint");
    let order = json!({"order": "change-product", "product": "pear-quarts", "plan": plan});
    day.refuses_role(Role::Lead, Code::InUse, order);
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
    let mut day = with_refrigerator();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    day.does("tally station=cold product=pear-quarts");
    assert_eq!(day.waits("fill", "pear-quarts"), 5000);
}

#[test]
fn fruit_in_a_refrigerator_before_the_canner_is_carried_over() {
    let mut day = with_refrigerator();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    day.does("close-day");
    let left = leftovers(&day.state);
    assert_eq!(left.len(), 1, "{left:?}");
    assert_eq!((left[0].station.as_str(), left[0].amount.0), ("cold", 5000));
}

#[test]
fn a_running_station_takes_no_more_of_a_shared_thing_than_there_is() {
    let mut day = Kitchen::open();
    for pot in ["big", "small"] {
        for order in filled_pot(pot) {
            day.does(&order);
        }
        day.does(&format!("start-pot station=cook pot={pot} minder=maren"));
    }
    let mut plan = crate::test_plan::plan()["stations"]["wash"].clone();
    plan["occupies"] = json!({"burners": 1});
    day.does("claim helper=bo station=wash");
    let order = json!({"order": "change-station", "station": "wash", "plan": plan});
    let refusal = day
        .gives(Role::Lead, order)
        .expect_err("all burners are in use");
    assert!(
        matches!(refusal.code, Code::InUse | Code::ResourceBusy),
        "{refusal:?}"
    );
}

/// USDA Complete Guide, 0 to 1,000 ft, hot pack in pints: standard tomato sauce 35 minutes, pears
/// 20, so the sauce decides wherever it stands in the load.
#[test]
fn a_load_names_the_product_and_jar_that_decided_its_time() {
    let mut day = Kitchen::open();
    day.fill("tomatoes-a", "sauce", 2, 2500)
        .fill("pears-a", "pear-pints", 2, 1250);
    day.confirm("sauce");
    for jars in [
        [("sauce", 2), ("pear-pints", 2)],
        [("pear-pints", 2), ("sauce", 2)],
    ] {
        day.does(&build_mixed("canner", "l1", &jars));
        let view = day.view();
        let process = &view["loads"]["l1"]["process"];
        assert_eq!(process["tested"]["minutes"], 35);
        assert_eq!(
            (&process["decided_by"], &process["jar"]),
            (&json!("sauce"), &json!("pint"))
        );
        day.does("cancel-load load=l1");
        day = Kitchen::open();
        day.fill("tomatoes-a", "sauce", 2, 2500)
            .fill("pears-a", "pear-pints", 2, 1250);
        day.confirm("sauce");
    }
}

/// Jars in a refrigerator before the canner.
fn jars_in_the_cold() -> (Kitchen, Value) {
    let mut day = Kitchen::with(|plan| {
        plan["stations"]["cold"] = json!({"name": "Refrigerator", "work": "other", "seats": 0,
            "nature": {"is": "hold"}});
        let route = plan["products"]["pear-quarts"]["route"]
            .as_array_mut()
            .unwrap();
        let mut cold = route[3].clone();
        cold["station"] = json!("cold");
        route.insert(2, cold);
    });
    day.fill_pear_quarts(2);
    assert_eq!(day.waits("cold", "pear-quarts"), 2000);
    let plan = serde_json::to_value(putby::day::plan_again(&day.state)).unwrap();
    (day, plan["products"]["pear-quarts"].clone())
}

#[test]
fn a_changed_route_does_not_carry_unprocessed_jars_past_the_canner() {
    let (mut day, mut plan) = jars_in_the_cold();
    plan["route"].as_array_mut().unwrap().swap(2, 3);
    let order = json!({"order": "change-product", "product": "pear-quarts", "plan": plan});
    day.refuses_role(Role::Lead, Code::InUse, order);
}

#[test]
fn jars_for_the_freezer_do_not_become_jars_for_the_shelf() {
    let mut day = Kitchen::with(|plan| {
        let product = &mut plan["products"]["pear-quarts"];
        product["ends_in"] = json!({"as": "frozen", "package": "jar"});
        product["route"].as_array_mut().unwrap().remove(2);
    });
    day.fill_pear_quarts(2);
    assert_eq!(day.waits("rack", "pear-quarts"), 2000);
    let plan = crate::test_plan::plan()["products"]["pear-quarts"].clone();
    let order = json!({"order": "change-product", "product": "pear-quarts", "plan": plan});
    day.refuses_role(Role::Lead, Code::InUse, order);
}
