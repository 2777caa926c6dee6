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
        let mut k = Kitchen::open();
        k.refuses_role(Role::Helper, Code::LeadOnly, order.clone());
        k.does_json(order);
    }
}

#[test]
fn a_helper_does_what_work_needs() {
    let mut k = Kitchen::open();
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
        k.helper_does(order);
    }
    let join = json!({"order": "add-helper", "helper": "new", "plan": {"name": "New", "age": 30}});
    assert!(
        k.gives(Role::Helper, join).is_ok(),
        "somebody joins by themselves"
    );
}

#[test]
fn a_watcher_orders_nothing() {
    let mut k = Kitchen::open();
    for order in [
        "close-day",
        "note on={\"about\":\"day\"} text=Hi",
        "arrive helper=wren",
    ] {
        k.refuses_role(Role::Watcher, Code::WatchOnly, order_of(order));
    }
}

#[test]
fn a_station_in_use_is_not_taken_away() {
    let mut k = Kitchen::open();
    k.does("claim helper=wren station=wash");
    for order in ["put-away station=wash", "retire-station station=wash"] {
        let refusal = k.refuses(Code::InUse, order);
        assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    }
    k.refuses_role(
        Role::Lead,
        Code::InUse,
        changed("station", "wash", |p| p["seats"] = json!(0)),
    );
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.refuses(Code::InUse, "put-away station=cook");
    let no_big = changed("station", "cook", |plan| {
        plan["nature"]["pots"]
            .as_object_mut()
            .unwrap()
            .remove("big");
    });
    k.refuses_role(Role::Lead, Code::InUse, no_big.clone());
    k.does("empty-pot station=cook pot=big");
    k.does_json(no_big);
    k.fill_pear_quarts(1)
        .does(&build("canner", "l1", &[("pear-quarts", 1)]));
    k.refuses(Code::InUse, "put-away station=canner");
    let smaller = changed("station", "canner", |plan| {
        plan["nature"]["canners"]["a"]["holds"]["quart"] = json!(5);
    });
    k.refuses_role(Role::Lead, Code::InUse, smaller.clone());
    k.does("cancel-load load=l1");
    k.does_json(smaller);
}

#[test]
fn a_station_that_a_route_passes_is_not_retired() {
    let mut k = Kitchen::open();
    let refusal = k.refuses(Code::BadValue, "retire-station station=bag");
    assert!(refusal.detail.contains("plum tubs"), "{refusal:?}");
    k.does("retire-station station=mill");
    k.refuses(Code::Unknown, "set-up station=mill");
    let mill = json!({"order": "add-station", "station": "mill", "plan":
        {"name": "Mill", "work": "strain", "seats": 1, "nature": {"is": "hand"}}});
    k.refuses_role(Role::Lead, Code::IdTaken, mill);
}

#[test]
fn stations_that_share_a_table_take_turns() {
    let mut k = Kitchen::open();
    k.does("set-up station=mill instead_of=bag");
    k.refuses(Code::NotSetUp, "claim helper=osk station=bag");
    k.refuses(Code::WrongPhase, "set-up station=mill");
    k.does("claim helper=osk station=mill");
    k.refuses(Code::InUse, "set-up station=bag instead_of=mill");
    k.all(&["leave helper=osk", "set-up station=bag instead_of=mill"]);
}

#[test]
fn work_that_waits_keeps_its_station_and_measure() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts");
    let shorter = changed("product", "pear-quarts", |plan| {
        plan["route"].as_array_mut().unwrap().remove(0);
    });
    let refusal = k.refuses_role(Role::Lead, Code::InUse, shorter);
    assert!(refusal.detail.contains("Slice"), "{refusal:?}");
    k.refuses(Code::InUse, "retire-product product=pear-quarts");
    k.refuses(Code::InUse, "retire-lot lot=pears-a");
    let other = changed("lot", "pears-a", |plan| plan["measure"] = json!("kg"));
    k.refuses_role(Role::Lead, Code::InUse, other);
    let less = |amount: i64| changed("lot", "pears-a", |plan| plan["amount"] = json!(amount));
    k.refuses_role(Role::Lead, Code::InUse, less(19_999));
    k.does_json(less(20_000));
}

#[test]
fn a_shared_thing_in_use_is_not_taken_away() {
    let mut k = Kitchen::open();
    let refusal = k.refuses(Code::InUse, "retire-resource resource=burners");
    assert!(refusal.detail.contains("needs it"), "{refusal:?}");
    k.boil_pears("l1", 1);
    let burners = |count: u32| {
        json!({"order": "put-resource", "resource": "burners",
            "plan": {"name": "burners", "count": count}})
    };
    k.refuses_role(Role::Lead, Code::InUse, burners(0));
    k.does_json(burners(1));
    k.refuses(Code::Unknown, "retire-resource resource=sink");
}

#[test]
fn a_helper_somebody_depends_on_stays_on_the_list() {
    let mut k = Kitchen::open();
    k.does("claim helper=wren station=slice beside=osk");
    k.refuses(Code::Depended, "retire-helper helper=osk");
    k.refuses(Code::InUse, "retire-helper helper=wren");
    let child = changed("helper", "osk", |plan| plan["age"] = json!(12));
    k.refuses_role(Role::Lead, Code::Depended, child);
    let small = changed("helper", "wren", |plan| plan["age"] = json!(5));
    k.refuses_role(Role::Lead, Code::InUse, small);
    k.all(&["leave helper=wren", "retire-helper helper=osk"]);
    k.refuses(Code::Unknown, "arrive helper=osk");
}

#[test]
fn the_minder_of_a_cooking_pot_is_neither_retired_nor_made_a_child() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=osk");
    k.refuses(Code::Depended, "retire-helper helper=osk");
    k.refuses(Code::Depended, "take-break helper=osk");
    let child = changed("helper", "osk", |plan| plan["age"] = json!(9));
    let refusal = k
        .gives(Role::Lead, child)
        .expect_err("a child would mind the pot");
    assert!(
        matches!(refusal.code, Code::Depended | Code::InUse),
        "{refusal:?}"
    );
}

#[test]
fn a_stock_is_counted_not_redefined() {
    let mut k = Kitchen::open();
    let more = changed("supply", "lids", |plan| plan["stock"] = json!(50_000));
    k.refuses_role(Role::Lead, Code::BadValue, more);
    k.refuses(Code::BadValue, "retire-supply supply=lids");
}

#[test]
fn no_way_leads_back_to_where_it_came_from() {
    let mut k = Kitchen::open();
    let circle = changed("product", "plum-tubs", |plan| {
        plan["route"][0]["onward"] = json!([
            {"product": "plum-mash", "station": "cook", "weight": 1}
        ]);
    });
    let refusal = k.refuses_role(Role::Lead, Code::BadValue, circle);
    assert!(refusal.detail.contains("leads back"), "{refusal:?}");
}

#[test]
fn a_canned_product_needs_a_canner_a_rack_and_a_tested_process() {
    let mut k = Kitchen::open();
    let without = |station: &str| {
        changed("product", "pear-quarts", |plan| {
            plan["route"]
                .as_array_mut()
                .unwrap()
                .retain(|step| step["station"] != station);
        })
    };
    k.refuses_role(Role::Lead, Code::BadValue, without("canner"));
    k.refuses_role(Role::Lead, Code::BadValue, without("rack"));
    for (field, value) in [("food", "bananas"), ("jar", "half-gallon"), ("pack", "raw")] {
        let untested = changed("product", "pear-quarts", |plan| {
            plan["ends_in"][field] = json!(value)
        });
        let refusal = k.refuses_role(Role::Lead, Code::NoTestedProcess, untested);
        assert!(refusal.detail.contains("pear quarts"), "{refusal:?}");
    }
}

#[test]
fn a_second_day_is_not_opened_over_the_first_even_when_it_is_closed() {
    let mut k = Kitchen::open();
    k.does("close-day");
    let order = json!({"order": "open-day", "plan": crate::test_plan::plan()});
    k.refuses_role(Role::Lead, Code::DayExists, order);
    for order in ["note on={\"about\":\"day\"} text=Late", "close-day"] {
        let code = k
            .gives(Role::Lead, order_of(order))
            .err()
            .map(|refusal| refusal.code);
        assert_eq!(code.is_none(), order.starts_with("note"), "{order}");
    }
}
