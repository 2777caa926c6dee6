//! Changing the set-up while the day goes on, and who may.

use crate::kitchen::{Kitchen, build, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role};
use serde_json::{Value, json};

fn changed(kind: &str, name: &str, change: impl FnOnce(&mut Value)) -> Value {
    let many = ["stations", "products", "lots", "supplies", "helpers"];
    let field = ["station", "product", "lot", "supply", "helper"]
        .iter()
        .position(|one| *one == kind)
        .unwrap();
    let mut plan = crate::test_plan::plan()[many[field]][name].clone();
    change(&mut plan);
    json!({"order": format!("change-{kind}"), kind: name, "plan": plan})
}

/// Orders of the lead alone; each would be accepted from the lead.
#[test]
fn a_helper_does_not_set_up_the_day() {
    let orders = [
        order_of("change-day altitude_ft=700"),
        order_of("close-day"),
        json!({"order": "set-age-rules", "rules": {}}),
        json!({"order": "put-resource", "resource": "sink", "plan": {"name": "sink", "count": 1}}),
        order_of("put-away station=bag"),
        order_of("set-up station=mill"),
        order_of("retire-station station=mill"),
        changed("station", "wash", |plan| plan["seats"] = json!(3)),
        changed("helper", "wren", |plan| plan["age"] = json!(19)),
        order_of("retire-helper helper=bo"),
        changed("product", "pear-quarts", |plan| {
            plan["wanted"] = json!(7000)
        }),
        order_of("retire-product product=beans"),
        changed("lot", "beans-a", |plan| plan["amount"] = json!(40_000)),
        order_of("retire-lot lot=beans-a"),
        changed("supply", "lids", |plan| plan["low_at"] = json!(0)),
        order_of("split-lot lot=pears-a new_lot=pears-c name=More amount=1000"),
    ];
    for order in orders {
        let mut day = Kitchen::open();
        day.refuses_role(Role::Helper, Code::LeadOnly, order.clone());
        day.does_json(order);
    }
}

#[test]
fn a_helper_does_what_work_needs() {
    let mut day = Kitchen::open();
    for order in [
        "open-box lot=plums-a product=plum-mash",
        "claim helper=wren station=wash",
        "tally station=wash helper=wren",
        "undo-tally station=wash helper=wren",
        "recount station=wash product=plum-mash lot=plums-a amount=19000",
        "restock supply=lids amount=1000",
        "recount-supply supply=lids amount=30000",
        "raise-chore chore=sweep text=Sweep",
        "take-chore chore=sweep helper=bo",
        "finish-chore chore=sweep helper=bo",
        "note on={\"about\":\"day\"} text=Warm",
    ] {
        day.helper_does(order);
    }
    let join = json!({"order": "add-helper", "helper": "new", "plan": {"name": "New", "age": 30}});
    assert!(
        day.gives(Role::Helper, join).is_ok(),
        "somebody joins by themselves"
    );
}

#[test]
fn a_watcher_orders_nothing() {
    let mut day = Kitchen::open();
    for order in [
        "close-day",
        "note on={\"about\":\"day\"} text=Hi",
        "arrive helper=wren",
    ] {
        day.refuses_role(Role::Watcher, Code::WatchOnly, order_of(order));
    }
}

#[test]
fn a_station_in_use_is_not_taken_away() {
    let mut day = Kitchen::open();
    day.does("claim helper=wren station=wash");
    for order in ["put-away station=wash", "retire-station station=wash"] {
        let refusal = day.refuses(Code::InUse, order);
        assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    }
    day.refuses_role(
        Role::Lead,
        Code::InUse,
        changed("station", "wash", |p| p["seats"] = json!(0)),
    );
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.refuses(Code::InUse, "put-away station=cook");
    let no_big = changed("station", "cook", |plan| {
        plan["nature"]["pots"]
            .as_object_mut()
            .unwrap()
            .remove("big");
    });
    day.refuses_role(Role::Lead, Code::InUse, no_big.clone());
    day.does("empty-pot station=cook pot=big");
    day.does_json(no_big);
    day.fill_pear_quarts(1)
        .does(&build("canner", "l1", &[("pear-quarts", 1)]));
    day.refuses(Code::InUse, "put-away station=canner");
    let smaller = changed("station", "canner", |plan| {
        plan["nature"]["canners"]["a"]["holds"]["quart"] = json!(5);
    });
    day.refuses_role(Role::Lead, Code::InUse, smaller.clone());
    day.does("cancel-load load=l1");
    day.does_json(smaller);
}

#[test]
fn a_station_that_a_route_passes_is_not_retired() {
    let mut day = Kitchen::open();
    let refusal = day.refuses(Code::BadValue, "retire-station station=bag");
    assert!(refusal.detail.contains("plum tubs"), "{refusal:?}");
    day.does("retire-station station=mill");
    day.refuses(Code::Unknown, "set-up station=mill");
    let mill = json!({"order": "add-station", "station": "mill", "plan":
        {"name": "Mill", "work": "strain", "seats": 1, "nature": {"is": "hand"}}});
    day.refuses_role(Role::Lead, Code::IdTaken, mill);
}

#[test]
fn stations_that_share_a_table_take_turns() {
    let mut day = Kitchen::open();
    day.does("set-up station=mill instead_of=bag");
    day.refuses(Code::NotSetUp, "claim helper=osk station=bag");
    day.refuses(Code::WrongPhase, "set-up station=mill");
    day.does("claim helper=osk station=mill");
    day.refuses(Code::InUse, "set-up station=bag instead_of=mill");
    day.all(&["leave helper=osk", "set-up station=bag instead_of=mill"]);
}

#[test]
fn work_that_waits_keeps_its_station_and_measure() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts");
    let shorter = changed("product", "pear-quarts", |plan| {
        plan["route"].as_array_mut().unwrap().remove(0);
    });
    let refusal = day.refuses_role(Role::Lead, Code::InUse, shorter);
    assert!(refusal.detail.contains("Slice"), "{refusal:?}");
    day.refuses(Code::InUse, "retire-product product=pear-quarts");
    day.refuses(Code::InUse, "retire-lot lot=pears-a");
    let other = changed("lot", "pears-a", |plan| plan["measure"] = json!("kg"));
    day.refuses_role(Role::Lead, Code::InUse, other);
    let less = |amount: i64| changed("lot", "pears-a", |plan| plan["amount"] = json!(amount));
    day.refuses_role(Role::Lead, Code::InUse, less(19_999));
    day.does_json(less(20_000));
}

#[test]
fn a_shared_thing_in_use_is_not_taken_away() {
    let mut day = Kitchen::open();
    let refusal = day.refuses(Code::InUse, "retire-resource resource=burners");
    assert!(refusal.detail.contains("needs it"), "{refusal:?}");
    day.boil_pears("l1", 1);
    let burners = |count: u32| {
        json!({"order": "put-resource", "resource": "burners",
            "plan": {"name": "burners", "count": count}})
    };
    day.refuses_role(Role::Lead, Code::InUse, burners(0));
    day.does_json(burners(1));
    day.refuses(Code::Unknown, "retire-resource resource=sink");
}

#[test]
fn a_helper_somebody_depends_on_stays_on_the_list() {
    let mut day = Kitchen::open();
    day.does("claim helper=wren station=slice beside=osk");
    day.refuses(Code::Depended, "retire-helper helper=osk");
    day.refuses(Code::InUse, "retire-helper helper=wren");
    let child = changed("helper", "osk", |plan| plan["age"] = json!(12));
    day.refuses_role(Role::Lead, Code::Depended, child);
    let small = changed("helper", "wren", |plan| plan["age"] = json!(5));
    day.refuses_role(Role::Lead, Code::InUse, small);
    day.all(&["leave helper=wren", "retire-helper helper=osk"]);
    day.refuses(Code::Unknown, "arrive helper=osk");
}

#[test]
fn the_minder_of_a_cooking_pot_is_neither_retired_nor_made_a_child() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=osk");
    day.refuses(Code::Depended, "retire-helper helper=osk");
    day.refuses(Code::Depended, "take-break helper=osk");
    let child = changed("helper", "osk", |plan| plan["age"] = json!(9));
    let refusal = day
        .gives(Role::Lead, child)
        .expect_err("a child would mind the pot");
    assert!(
        matches!(refusal.code, Code::Depended | Code::InUse),
        "{refusal:?}"
    );
}

#[test]
fn a_stock_is_counted_not_redefined() {
    let mut day = Kitchen::open();
    let more = changed("supply", "lids", |plan| plan["stock"] = json!(50_000));
    day.refuses_role(Role::Lead, Code::BadValue, more);
    day.refuses(Code::BadValue, "retire-supply supply=lids");
}

#[test]
fn no_way_leads_back_to_where_it_came_from() {
    let mut day = Kitchen::open();
    let circle = changed("product", "plum-tubs", |plan| {
        plan["route"][0]["onward"] = json!([
            {"product": "plum-mash", "station": "cook", "weight": 1}
        ]);
    });
    let refusal = day.refuses_role(Role::Lead, Code::BadValue, circle);
    assert!(refusal.detail.contains("leads back"), "{refusal:?}");
}

#[test]
fn a_canned_product_needs_a_canner_a_rack_and_a_tested_process() {
    let mut day = Kitchen::open();
    let without = |station: &str| {
        changed("product", "pear-quarts", |plan| {
            plan["route"]
                .as_array_mut()
                .unwrap()
                .retain(|step| step["station"] != station);
        })
    };
    day.refuses_role(Role::Lead, Code::BadValue, without("canner"));
    day.refuses_role(Role::Lead, Code::BadValue, without("rack"));
    for (field, value) in [("food", "bananas"), ("jar", "half-gallon"), ("pack", "raw")] {
        let untested = changed("product", "pear-quarts", |plan| {
            plan["ends_in"][field] = json!(value)
        });
        let refusal = day.refuses_role(Role::Lead, Code::NoTestedProcess, untested);
        assert!(refusal.detail.contains("pear quarts"), "{refusal:?}");
    }
}

#[test]
fn a_second_day_is_not_opened_over_the_first_even_when_it_is_closed() {
    let mut day = Kitchen::open();
    day.does("close-day");
    let order = json!({"order": "open-day", "plan": crate::test_plan::plan()});
    day.refuses_role(Role::Lead, Code::DayExists, order);
    for order in ["note on={\"about\":\"day\"} text=Late", "close-day"] {
        let code = day
            .gives(Role::Lead, order_of(order))
            .err()
            .map(|refusal| refusal.code);
        assert_eq!(code.is_none(), order.starts_with("note"), "{order}");
    }
}
