//! Ways that split, turn off and go back, and tallies taken back.

use crate::kitchen::{Kitchen, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role, plan_again};
use serde_json::json;

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
    let mut plan = crate::test_plan::plan()["products"]["pear-quarts"].clone();
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

/// Jars that are washed become the stock that filling draws on.
fn with_clean_jars() -> Kitchen {
    Kitchen::with(|plan| {
        plan["supplies"]["clean"] = json!({"name": "clean jars", "unit": "jar", "stock": 0});
        plan["products"]["clean-jars"] = json!({"name": "clean jars", "produce": "jars",
            "ends_in": {"as": "stocked", "supply": "clean", "package": "jar"},
            "route": [{"station": "wash", "measure": "jar",
                "carrier": {"name": "rack", "holds": 12_000}}]});
        plan["lots"]["shed"] = json!({"name": "Jars from the shed", "produce": "jars",
            "measure": "jar", "amount": 24_000, "box_holds": 12_000});
        plan["products"]["pear-quarts"]["route"][1]["draws"]["clean"] = json!(1000);
    })
}

#[test]
fn washed_jars_feed_the_stock_that_filling_draws_on() {
    let mut k = with_clean_jars();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts",
        "tally station=slice amount=20000",
    ]);
    let refusal = k.refuses(Code::SupplyOut, "tally station=fill amount=2500");
    assert!(refusal.instead.contains("clean jars"), "{refusal:?}");
    k.all(&[
        "open-box lot=shed product=clean-jars",
        "tally station=wash product=clean-jars",
    ]);
    assert_eq!(k.stock("clean"), 12_000);
    k.does("tally station=fill amount=2500");
    assert_eq!((k.stock("clean"), k.stock("lids")), (11_000, 29_000));
    k.refuses(Code::MovedOn, "undo-tally station=wash");
    k.does("undo-tally station=fill");
    assert_eq!((k.stock("clean"), k.stock("lids")), (12_000, 30_000));
    k.does("undo-tally station=wash");
    assert_eq!(
        (k.stock("clean"), k.waits("wash", "clean-jars")),
        (0, 12_000)
    );
}

#[test]
fn twenty_tallies_of_a_station_can_be_taken_back_and_no_more() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts amount=21000");
    for _ in 0..21 {
        k.wait(1).does("tally station=slice amount=1000");
    }
    for _ in 0..20 {
        k.does("undo-tally station=slice");
    }
    k.refuses(Code::NothingToUndo, "undo-tally station=slice");
    assert_eq!(
        (
            k.waits("slice", "pear-quarts"),
            k.waits("fill", "pear-quarts")
        ),
        (20_000, 1000)
    );
}

#[test]
fn a_yield_that_does_not_divide_loses_nothing_over_many_carriers() {
    let mut k = Kitchen::with(|plan| {
        plan["products"]["plum-mash"]["route"][0]["yields"] = json!({"made": 1000, "from": 3000});
    });
    k.does("open-box lot=plums-a product=plum-mash amount=9000");
    for _ in 0..9 {
        k.does("tally station=wash amount=1000");
    }
    assert_eq!(k.waits("cook", "plum-mash"), 3000);
    for _ in 0..9 {
        k.does("undo-tally station=wash");
    }
    assert_eq!(
        (k.waits("wash", "plum-mash"), k.waits("cook", "plum-mash")),
        (9000, 0)
    );
}
