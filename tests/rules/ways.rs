//! Ways that split, turn off and go back; loads that go wrong; what the next day gets.

use crate::kitchen::{Kitchen, build, order_of};
use crate::refusals::filled_pot;
use putby::day::time::HOUR_MS;
use putby::day::{Code, Role, leftovers, plan_again};
use serde_json::{Value, json};

/// Plums through one pot of mash: 12 lb make 6 qt.
fn mash(k: &mut Kitchen, made: i64) {
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    k.does(&format!("pot-done station=cook pot=big made={made}"));
    let chore = k.chore("dirty-pot").unwrap();
    k.does(&format!("finish-chore chore={chore}"));
}

#[test]
fn a_split_keeps_its_shares_of_two_to_one() {
    let mut k = Kitchen::open();
    let mut went = Vec::new();
    for _ in 0..6 {
        let before = k.waits("bag", "plum-tubs");
        mash(&mut k, 6000);
        went.push(if k.waits("bag", "plum-tubs") > before {
            't'
        } else {
            'j'
        });
    }
    assert_eq!(
        (k.waits("bag", "plum-tubs"), k.waits("fill", "plum-puree")),
        (24_000, 12_000)
    );
    assert_eq!(
        went.iter().filter(|way| **way == 'j').count(),
        2,
        "{went:?}"
    );
}

#[test]
fn a_split_makes_good_when_somebody_chose_the_other_way() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    let other = r#"{"product":"plum-puree","station":"fill"}"#;
    k.does(&format!("pot-done station=cook pot=big to={other}"));
    let chore = k.chore("dirty-pot").unwrap();
    k.does(&format!("finish-chore chore={chore}"));
    mash(&mut k, 6000);
    mash(&mut k, 6000);
    assert_eq!(
        (k.waits("bag", "plum-tubs"), k.waits("fill", "plum-puree")),
        (12_000, 6000)
    );
    let nowhere = r#"{"product":"plum-tubs","station":"freezer"}"#;
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    let refusal = k.refuses(
        Code::NoWay,
        &format!("pot-done station=cook pot=big to={nowhere}"),
    );
    assert!(refusal.instead.contains("plum tubs at Bag"), "{refusal:?}");
}

/// Washed plums go two to one to the pot and to the mill here.
fn with_split_at_wash() -> Kitchen {
    Kitchen::with(|plan| {
        let route = plan["products"]["plum-tubs"]["route"]
            .as_array_mut()
            .unwrap();
        let mut mill = route[0].clone();
        mill["station"] = json!("mill");
        mill["measure"] = json!("lb");
        mill["carrier"] = json!({"name": "bowl", "holds": 1000});
        mill.as_object_mut().unwrap().remove("draws");
        mill["yields"] = json!({"made": 500, "from": 1000});
        route.insert(0, mill);
        plan["products"]["plum-mash"]["route"][0]["onward"] = json!([
            {"product": "plum-mash", "station": "cook", "weight": 2},
            {"product": "plum-tubs", "station": "mill", "weight": 1}
        ]);
    })
}

#[test]
fn an_undo_after_a_split_gives_the_share_back() {
    let mut k = with_split_at_wash();
    k.does("open-box lot=plums-a product=plum-mash");
    let mut ways = Vec::new();
    for _ in 0..3 {
        k.wait(1).does("tally station=wash amount=1000");
        ways.push((k.waits("cook", "plum-mash"), k.waits("mill", "plum-tubs")));
    }
    assert_eq!(ways, [(1000, 0), (1000, 1000), (2000, 1000)]);
    k.does("undo-tally station=wash");
    k.does("undo-tally station=wash");
    assert_eq!(
        (k.waits("cook", "plum-mash"), k.waits("mill", "plum-tubs")),
        (1000, 0)
    );
    k.wait(1).does("tally station=wash amount=1000");
    k.wait(1).does("tally station=wash amount=1000");
    assert_eq!(
        (k.waits("cook", "plum-mash"), k.waits("mill", "plum-tubs")),
        (2000, 1000)
    );
}

#[test]
fn an_undo_after_the_product_changed_hides_nothing() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    let mut plan = crate::kitchen::plan()["products"]["pear-quarts"].clone();
    plan["route"].as_array_mut().unwrap().remove(0);
    k.does_json(json!({"order": "change-product", "product": "pear-quarts", "plan": plan}));
    let undone = k.gives(Role::Lead, order_of("undo-tally station=slice"));
    if undone.is_ok() {
        assert_eq!(
            k.view()["stations"]["slice"]["waiting"]["pear-quarts"]["amount"],
            5000
        );
    }
    k.does("close-day");
    let again = json!({"order": "open-day", "plan": plan_again(&k.state)});
    let opened = Kitchen::dark().gives(Role::Lead, again);
    assert!(opened.is_ok(), "{opened:?}");
}

#[test]
fn an_undo_after_a_changed_yield_or_split_keeps_the_shares_sound() {
    let mut k = with_split_at_wash();
    k.does("open-box lot=plums-a product=plum-mash");
    k.does("tally station=wash amount=9000");
    let plan = serde_json::to_value(&plan_again(&k.state).products).unwrap()["plum-mash"].clone();
    k.does_json(json!({"order": "change-product", "product": "plum-mash", "plan": plan}));
    let _ = k.gives(Role::Lead, order_of("undo-tally station=wash"));
    let product = &k.state.products[&crate::kitchen::id("plum-mash")];
    let sent = product.sent.values().flatten();
    assert!(sent.clone().all(|sent| sent.0 >= 0), "{:?}", product.sent);
}

#[test]
fn fruit_diverted_to_another_measure_says_what_it_becomes() {
    let mut k = Kitchen::open();
    k.does("open-box lot=plums-a product=plum-mash");
    let to = r#"{"as":"route","product":"plum-tubs","station":"bag"}"#;
    let order = format!("divert station=wash product=plum-mash amount=4000 to={to}");
    k.refuses(Code::SayBecomes, &order);
    k.wait(9).does(&format!("{order} becomes=2000"));
    assert_eq!(
        (k.waits("wash", "plum-mash"), k.waits("bag", "plum-tubs")),
        (16_000, 2000)
    );
    let since = &k.view()["stations"]["bag"]["waiting"]["plum-tubs"]["oldest_at"];
    assert_eq!(
        since.as_i64(),
        Some(k.now.0 - 9 * 60_000),
        "and keeps its age"
    );
}

#[test]
fn diverted_fruit_of_two_lots_is_shared_out_by_what_was_taken() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=1000",
        "open-box lot=pears-b product=pear-quarts amount=2000",
    ]);
    let to = r#"{"as":"route","product":"pear-pints","station":"fill"}"#;
    k.does(&format!(
        "divert station=slice product=pear-quarts amount=3000 to={to} becomes=1000"
    ));
    let view = k.view();
    let lots = &view["stations"]["fill"]["waiting"]["pear-pints"]["lots"];
    assert_eq!(lots, &json!({"pears-a": 333, "pears-b": 667}));
}

#[test]
fn diverted_fruit_leaves_by_every_door_and_is_accounted_for() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts");
    for (door, field) in [
        ("fresh", "diverted"),
        ("refrigerator", "diverted"),
        ("freezer", "diverted"),
        ("scraps", "scrapped"),
    ] {
        let before = k.view()["stations"]["slice"]["done"]["pear-quarts"][field]
            .as_i64()
            .unwrap();
        k.does(&format!(
            "divert station=slice product=pear-quarts amount=1000 to={{\"as\":\"{door}\"}}"
        ));
        let after = k.view()["stations"]["slice"]["done"]["pear-quarts"][field]
            .as_i64()
            .unwrap();
        assert_eq!(after - before, 1000, "{door}");
    }
    assert_eq!(k.view()["day"]["scraps_lb"], 1000);
    let here = r#"{"as":"route","product":"pear-quarts","station":"slice"}"#;
    k.refuses(
        Code::NoWay,
        &format!("divert station=slice product=pear-quarts amount=1000 to={here}"),
    );
}

/// Two jars of 2.5 lb are 5 lb of pears again.
#[test]
fn work_sent_back_goes_through_the_yields() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(4);
    k.does("send-back station=canner product=pear-quarts amount=2000 to=slice reason=Not_full");
    assert_eq!(
        (
            k.waits("canner", "pear-quarts"),
            k.waits("slice", "pear-quarts")
        ),
        (2000, 5000)
    );
    let done = k.view()["stations"]["slice"]["done"]["pear-quarts"].clone();
    assert_eq!(done["reworked_in"], 5000);
    let forward = "send-back station=slice product=pear-quarts amount=1000 to=fill reason=Try";
    let refusal = k.refuses(Code::NoWay, forward);
    assert!(
        refusal.detail.contains("does not come before"),
        "{refusal:?}"
    );
    k.does(
        "send-back station=canner product=pear-quarts amount=1000 to=fill reason=Loss becomes=2000",
    );
    assert_eq!(k.waits("fill", "pear-quarts"), 2000);
}

#[test]
fn a_lot_split_from_what_waits_keeps_amount_and_age() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts amount=10000");
    let at = r#"{"product":"pear-quarts","station":"slice"}"#;
    let split = |new: &str, amount: i64| {
        format!("split-lot lot=pears-a new_lot={new} name=Soft amount={amount} waiting_at={at}")
    };
    k.wait(12).does(&split("soft", 4000));
    k.refuses(Code::NotEnough, &split("more", 6001));
    k.refuses(Code::IdTaken, &split("soft", 1000));
    let view = k.view();
    let waiting = &view["stations"]["slice"]["waiting"]["pear-quarts"];
    assert_eq!(waiting["lots"], json!({"pears-a": 6000, "soft": 4000}));
    assert_eq!(waiting["oldest_at"].as_i64(), Some(k.now.0 - 12 * 60_000));
    k.does("split-lot lot=pears-a new_lot=box-2 name=Box amount=20000");
    let lots = k.view()["lots"].clone();
    assert_eq!(
        (&lots["pears-a"]["unopened"], &lots["box-2"]["unopened"]),
        (&json!(70_000), &json!(20_000))
    );
}

#[test]
fn a_lost_boil_starts_the_whole_time_again_and_both_starts_stay() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7).wait(24).does("boil-lost load=l1");
    let load = k.view()["loads"]["l1"].clone();
    assert_eq!(
        (&load["phase"], &load["lost"]),
        (&json!("heating"), &json!(1))
    );
    assert!(load.get("done_at").is_none());
    k.wait(5).refuses(Code::TimeNotOver, "heat-off load=l1");
    k.does("rolling-boil load=l1");
    k.wait(24).refuses(Code::TimeNotOver, "heat-off load=l1");
    k.wait(1).all(&["heat-off load=l1", "lift-load load=l1"]);
    assert_eq!(k.state.loads[&crate::kitchen::id("l1")].lost.len(), 1);
    assert_eq!(k.waits("rack", "pear-quarts"), 7000);
}

fn ended_early(fate: &str) -> Kitchen {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7).wait(24);
    k.refuses_role(
        Role::Helper,
        Code::LeadOnly,
        order_of("heat-off load=l1 end_early=true"),
    );
    k.does("heat-off load=l1 end_early=true");
    assert_eq!(k.view()["loads"]["l1"]["short"], true);
    k.refuses(Code::NeedsFate, "lift-load load=l1");
    k.does(&format!("lift-load load=l1 fate={fate}"));
    k
}

#[test]
fn jars_of_a_short_load_never_reach_the_rack() {
    for fate in ["refrigerate", "freeze", "reprocess"] {
        let k = ended_early(fate);
        assert_eq!(k.waits("rack", "pear-quarts"), 0, "{fate}");
        assert_eq!(k.finished("pear-quarts"), 0);
        let again = if fate == "reprocess" { 7000 } else { 0 };
        assert_eq!(k.waits("canner", "pear-quarts"), again, "{fate}");
    }
}

#[test]
fn a_short_load_is_reprocessed_for_the_whole_time() {
    let mut k = ended_early("reprocess");
    k.all(&[
        &build("canner", "l2", &[("pear-quarts", 7)]),
        "heat-load load=l2",
        "rolling-boil load=l2",
    ]);
    k.wait(24).refuses(Code::TimeNotOver, "heat-off load=l2");
    k.wait(1).all(&["heat-off load=l2", "lift-load load=l2"]);
    assert_eq!(k.waits("rack", "pear-quarts"), 7000);
}

#[test]
fn a_full_load_needs_no_fate_and_counts_its_broken_jars() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7).wait(25).does("heat-off load=l1");
    k.refuses(Code::BadValue, "lift-load load=l1 fate=freeze");
    let broken =
        |n: u32| format!("lift-load load=l1 broken=[{{\"product\":\"pear-quarts\",\"jars\":{n}}}]");
    k.refuses(Code::BadValue, &broken(8));
    k.refuses(Code::BadValue, &broken(0));
    k.does(&broken(1));
    assert_eq!(k.waits("rack", "pear-quarts"), 6000);
    let done = k.view()["stations"]["canner"]["done"]["pear-quarts"].clone();
    assert_eq!(
        (&done["taken"], &done["scrapped"]),
        (&json!(6000), &json!(1000))
    );
}

#[test]
fn a_load_is_changed_or_taken_apart_only_before_the_heat() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 5)]));
    let jars =
        |n: i64| format!("change-load load=l1 jars=[{{\"product\":\"pear-quarts\",\"jars\":{n}}}]");
    k.refuses(
        Code::NotEnough,
        &jars(8)
            .replace(":8", ":7")
            .replace("pear-quarts", "pear-pints"),
    );
    k.does(&jars(7));
    assert_eq!(k.waits("canner", "pear-quarts"), 0);
    k.does("heat-load load=l1");
    k.refuses(Code::WrongPhase, &jars(6));
    k.refuses(Code::WrongPhase, "cancel-load load=l1");
}

/// What a plan to go on with makes of a day.
fn next_day(k: &Kitchen) -> Value {
    serde_json::to_value(plan_again(&k.state)).unwrap()
}

#[test]
fn the_next_day_begins_with_what_was_left_at_its_age() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=10000",
        "tally station=slice",
    ]);
    let cut_at = k.now;
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.wait(60).does("close-day");
    k.refuses(Code::DayClosed, "tally station=slice");
    let left = leftovers(&k.state);
    assert_eq!(left.len(), 3, "{left:?}");
    let mut k2 = Kitchen::dark();
    k2.now = putby::day::time::Timestamp(k.now.0 + 14 * HOUR_MS);
    k2.does_json(json!({"order": "open-day", "plan": next_day(&k)}));
    assert_eq!(
        (
            k2.waits("slice", "pear-quarts"),
            k2.waits("fill", "pear-quarts")
        ),
        (5000, 5000)
    );
    assert_eq!(
        k2.waits("cook", "plum-mash"),
        12_000,
        "out of the pot, to be begun again"
    );
    let oldest = &k2.view()["stations"]["fill"]["waiting"]["pear-quarts"]["oldest_at"];
    assert_eq!(oldest.as_i64(), Some(cut_at.0));
    assert_eq!(k2.view()["lots"]["pears-a"]["unopened"], 90_000);
    assert_eq!(k2.stock("lids"), 30_000);
}

#[test]
fn the_next_day_has_the_same_kitchen_and_people_and_what_is_left_of_the_stocks() {
    let mut k = Kitchen::open();
    k.rack_pears("l1", 7).does("go-home helper=wren");
    k.does("close-day");
    let again = next_day(&k);
    let first = crate::kitchen::plan();
    for part in ["stations", "helpers", "products", "resources"] {
        let keys = |plan: &Value| {
            plan[part]
                .as_object()
                .unwrap()
                .keys()
                .cloned()
                .collect::<Vec<_>>()
        };
        assert_eq!(keys(&again), keys(&first), "{part}");
    }
    assert_eq!(again["supplies"]["lids"]["stock"], 23_000);
    assert_eq!(
        again["carried"],
        json!([]),
        "jars on the rack stay with their day"
    );
    Kitchen::dark().does_json(json!({"order": "open-day", "plan": again}));
}

#[test]
fn a_day_closes_only_cold_and_takes_unheated_loads_apart() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    let refusal = k.refuses(Code::StillHot, "close-day");
    assert!(refusal.detail.contains("Cook"), "{refusal:?}");
    k.does("pot-done station=cook pot=big");
    k.fill_pear_quarts(2)
        .does(&build("canner", "l1", &[("pear-quarts", 2)]));
    k.all(&["claim helper=wren station=wash", "close-day"]);
    assert_eq!(
        (k.seat("wren"), k.waits("canner", "pear-quarts")),
        (None, 2000)
    );
    k.does("note on={\"about\":\"day\"} text=A_good_day");
    k.refuses(Code::DayClosed, "close-day");
}
