//! Ways that split, turn off and go back, and tallies taken back.

use crate::kitchen::{Kitchen, id, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role, plan_again};
use serde_json::json;

/// Plums through one pot of mash: 12 lb make 6 qt.
fn mash(day: &mut Kitchen, made: i64) {
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    day.does(&format!("pot-done station=cook pot=big made={made}"));
    let chore = day.chore("dirty-pot").unwrap();
    day.does(&format!("finish-chore chore={chore}"));
}

#[test]
fn a_split_keeps_its_shares_of_two_to_one() {
    let mut day = Kitchen::open();
    let mut went = Vec::new();
    for _ in 0..6 {
        let before = day.waits("bag", "plum-tubs");
        mash(&mut day, 6000);
        went.push(if day.waits("bag", "plum-tubs") > before {
            't'
        } else {
            'j'
        });
    }
    assert_eq!(
        (
            day.waits("bag", "plum-tubs"),
            day.waits("fill", "plum-puree")
        ),
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
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    let other = r#"{"product":"plum-puree","station":"fill"}"#;
    day.does(&format!("pot-done station=cook pot=big to={other}"));
    let chore = day.chore("dirty-pot").unwrap();
    day.does(&format!("finish-chore chore={chore}"));
    mash(&mut day, 6000);
    mash(&mut day, 6000);
    assert_eq!(
        (
            day.waits("bag", "plum-tubs"),
            day.waits("fill", "plum-puree")
        ),
        (12_000, 6000)
    );
    let nowhere = r#"{"product":"plum-tubs","station":"freezer"}"#;
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    let refusal = day.refuses(
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
    let mut day = with_split_at_wash();
    day.does("open-box lot=plums-a product=plum-mash");
    let mut ways = Vec::new();
    for _ in 0..3 {
        day.wait(1).does("tally station=wash amount=1000");
        ways.push((
            day.waits("cook", "plum-mash"),
            day.waits("mill", "plum-tubs"),
        ));
    }
    assert_eq!(ways, [(1000, 0), (1000, 1000), (2000, 1000)]);
    day.does("undo-tally station=wash");
    day.does("undo-tally station=wash");
    assert_eq!(
        (
            day.waits("cook", "plum-mash"),
            day.waits("mill", "plum-tubs")
        ),
        (1000, 0)
    );
    day.wait(1).does("tally station=wash amount=1000");
    day.wait(1).does("tally station=wash amount=1000");
    assert_eq!(
        (
            day.waits("cook", "plum-mash"),
            day.waits("mill", "plum-tubs")
        ),
        (2000, 1000)
    );
}

#[test]
fn a_box_opened_by_mistake_goes_back_unworked() {
    let mut day = Kitchen::open();
    let unopened = |day: &Kitchen| day.view()["lots"]["pears-a"]["unopened"].clone();
    let before = unopened(&day);
    let layers = |day: &Kitchen| {
        let slice = day
            .state
            .flow(&id("slice"), &id("pear-quarts"), &id("pears-a"));
        slice.unwrap().layers.clone()
    };
    day.does("open-box lot=pears-a product=pear-quarts amount=5000");
    let older = layers(&day);
    day.wait(1)
        .does("open-box lot=pears-a product=pear-quarts amount=3000");
    day.does("close-box lot=pears-a product=pear-quarts amount=3000");
    assert_eq!(layers(&day), older, "the older fruit stays");
    day.does("tally station=slice amount=1000");
    let refusal = day.refuses(
        Code::MovedOn,
        "close-box lot=pears-a product=pear-quarts amount=5000",
    );
    assert!(refusal.instead.contains("Put less back"), "{refusal:?}");
    // What a count found more never came out of a box.
    day.does("recount station=slice product=pear-quarts lot=pears-a amount=9000");
    day.refuses(
        Code::MovedOn,
        "close-box lot=pears-a product=pear-quarts amount=5001",
    );
    day.does("close-box lot=pears-a product=pear-quarts amount=4000");
    day.does("undo-tally station=slice");
    day.does("recount station=slice product=pear-quarts lot=pears-a amount=1000");
    day.does("close-box lot=pears-a product=pear-quarts amount=1000");
    assert_eq!(unopened(&day), before);
    assert_eq!(day.waits("slice", "pear-quarts"), 0);
}

#[test]
fn an_undo_after_the_product_changed_hides_nothing() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    let mut plan = crate::test_plan::plan()["products"]["pear-quarts"].clone();
    plan["route"].as_array_mut().unwrap().remove(0);
    day.does_json(json!({"order": "change-product", "product": "pear-quarts", "plan": plan}));
    let undone = day.gives(Role::Lead, order_of("undo-tally station=slice"));
    if undone.is_ok() {
        assert_eq!(
            day.view()["stations"]["slice"]["waiting"]["pear-quarts"]["amount"],
            5000
        );
    }
    day.does("close-day");
    let again = json!({"order": "open-day", "plan": plan_again(&day.state)});
    let opened = Kitchen::dark().gives(Role::Lead, again);
    assert!(opened.is_ok(), "{opened:?}");
}

#[test]
fn an_undo_after_a_changed_yield_or_split_keeps_the_shares_sound() {
    let mut day = with_split_at_wash();
    day.does("open-box lot=plums-a product=plum-mash");
    day.does("tally station=wash amount=9000");
    let plan = serde_json::to_value(&plan_again(&day.state).products).unwrap()["plum-mash"].clone();
    day.does_json(json!({"order": "change-product", "product": "plum-mash", "plan": plan}));
    let _ = day.gives(Role::Lead, order_of("undo-tally station=wash"));
    let product = &day.state.products[&crate::kitchen::id("plum-mash")];
    let sent = product.sent.values().flatten();
    assert!(sent.clone().all(|sent| sent.0 >= 0), "{:?}", product.sent);
}

#[test]
fn fruit_diverted_to_another_measure_says_what_it_becomes() {
    let mut day = Kitchen::open();
    day.does("open-box lot=plums-a product=plum-mash");
    let to = r#"{"as":"route","product":"plum-tubs","station":"bag"}"#;
    let order = format!("divert station=wash product=plum-mash amount=4000 to={to}");
    day.refuses(Code::SayBecomes, &order);
    day.wait(9).does(&format!("{order} becomes=2000"));
    assert_eq!(
        (
            day.waits("wash", "plum-mash"),
            day.waits("bag", "plum-tubs")
        ),
        (16_000, 2000)
    );
    let since = &day.view()["stations"]["bag"]["waiting"]["plum-tubs"]["oldest_at"];
    assert_eq!(
        since.as_i64(),
        Some(day.now.0 - 9 * 60_000),
        "and keeps its age"
    );
}

#[test]
fn diverted_fruit_of_two_lots_is_shared_out_by_what_was_taken() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=1000",
        "open-box lot=pears-b product=pear-quarts amount=2000",
    ]);
    let to = r#"{"as":"route","product":"pear-pints","station":"fill"}"#;
    day.does(&format!(
        "divert station=slice product=pear-quarts amount=3000 to={to} becomes=1000"
    ));
    let view = day.view();
    let lots = &view["stations"]["fill"]["waiting"]["pear-pints"]["lots"];
    assert_eq!(lots, &json!({"pears-a": 333, "pears-b": 667}));
}

#[test]
fn diverted_fruit_leaves_by_every_door_and_is_accounted_for() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts");
    for (door, field) in [
        ("fresh", "diverted"),
        ("refrigerator", "diverted"),
        ("freezer", "diverted"),
        ("scraps", "scrapped"),
    ] {
        let before = day.view()["stations"]["slice"]["done"]["pear-quarts"][field]
            .as_i64()
            .unwrap();
        day.does(&format!(
            "divert station=slice product=pear-quarts amount=1000 to={{\"as\":\"{door}\"}}"
        ));
        let after = day.view()["stations"]["slice"]["done"]["pear-quarts"][field]
            .as_i64()
            .unwrap();
        assert_eq!(after - before, 1000, "{door}");
    }
    assert_eq!(day.view()["day"]["scraps_lb"], 1000);
    let here = r#"{"as":"route","product":"pear-quarts","station":"slice"}"#;
    day.refuses(
        Code::NoWay,
        &format!("divert station=slice product=pear-quarts amount=1000 to={here}"),
    );
}

/// Two jars of 2.5 lb are 5 lb of pears again.
#[test]
fn work_sent_back_goes_through_the_yields() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(4);
    day.does("send-back station=canner product=pear-quarts amount=2000 to=slice reason=Not_full");
    assert_eq!(
        (
            day.waits("canner", "pear-quarts"),
            day.waits("slice", "pear-quarts")
        ),
        (2000, 5000)
    );
    let done = day.view()["stations"]["slice"]["done"]["pear-quarts"].clone();
    assert_eq!(done["reworked_in"], 5000);
    let forward = "send-back station=slice product=pear-quarts amount=1000 to=fill reason=Try";
    let refusal = day.refuses(Code::NoWay, forward);
    assert!(
        refusal.detail.contains("does not come before"),
        "{refusal:?}"
    );
    day.does(
        "send-back station=canner product=pear-quarts amount=1000 to=fill reason=Loss becomes=2000",
    );
    assert_eq!(day.waits("fill", "pear-quarts"), 2000);
}

#[test]
fn a_lot_split_from_what_waits_keeps_amount_and_age() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts amount=10000");
    let at = r#"{"product":"pear-quarts","station":"slice"}"#;
    let split = |new: &str, amount: i64| {
        format!("split-lot lot=pears-a new_lot={new} name=Soft amount={amount} waiting_at={at}")
    };
    day.wait(12).does(&split("soft", 4000));
    day.refuses(Code::NotEnough, &split("more", 6001));
    day.refuses(Code::IdTaken, &split("soft", 1000));
    let view = day.view();
    let waiting = &view["stations"]["slice"]["waiting"]["pear-quarts"];
    assert_eq!(waiting["lots"], json!({"pears-a": 6000, "soft": 4000}));
    assert_eq!(waiting["oldest_at"].as_i64(), Some(day.now.0 - 12 * 60_000));
    day.does("split-lot lot=pears-a new_lot=box-2 name=Box amount=20000");
    let lots = day.view()["lots"].clone();
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
    let mut day = with_clean_jars();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts",
        "tally station=slice amount=20000",
    ]);
    let refusal = day.refuses(Code::SupplyOut, "tally station=fill amount=2500");
    assert!(refusal.instead.contains("clean jars"), "{refusal:?}");
    day.all(&[
        "open-box lot=shed product=clean-jars",
        "tally station=wash product=clean-jars",
    ]);
    assert_eq!(day.stock("clean"), 12_000);
    day.does("tally station=fill amount=2500");
    assert_eq!((day.stock("clean"), day.stock("lids")), (11_000, 29_000));
    day.refuses(Code::MovedOn, "undo-tally station=wash");
    day.does("undo-tally station=fill");
    assert_eq!((day.stock("clean"), day.stock("lids")), (12_000, 30_000));
    day.does("undo-tally station=wash");
    assert_eq!(
        (day.stock("clean"), day.waits("wash", "clean-jars")),
        (0, 12_000)
    );
}

#[test]
fn twenty_tallies_of_a_station_can_be_taken_back_and_no_more() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts amount=21000");
    for _ in 0..21 {
        day.wait(1).does("tally station=slice amount=1000");
    }
    for _ in 0..20 {
        day.does("undo-tally station=slice");
    }
    day.refuses(Code::NothingToUndo, "undo-tally station=slice");
    assert_eq!(
        (
            day.waits("slice", "pear-quarts"),
            day.waits("fill", "pear-quarts")
        ),
        (20_000, 1000)
    );
}

#[test]
fn a_yield_that_does_not_divide_loses_nothing_over_many_carriers() {
    let mut day = Kitchen::with(|plan| {
        plan["products"]["plum-mash"]["route"][0]["yields"] = json!({"made": 1000, "from": 3000});
    });
    day.does("open-box lot=plums-a product=plum-mash amount=9000");
    for _ in 0..9 {
        day.does("tally station=wash amount=1000");
    }
    assert_eq!(day.waits("cook", "plum-mash"), 3000);
    for _ in 0..9 {
        day.does("undo-tally station=wash");
    }
    assert_eq!(
        (
            day.waits("wash", "plum-mash"),
            day.waits("cook", "plum-mash")
        ),
        (9000, 0)
    );
}
