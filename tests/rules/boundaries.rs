//! Limits as pairs: the last that is accepted and the first that is refused.

use crate::kitchen::{Kitchen, build, build_mixed, seals};
use crate::refusals::filled_pot;
use putby::day::Code;
use serde_json::json;

#[test]
fn the_last_seat_is_taken_and_no_more() {
    let mut day = Kitchen::open();
    day.all(&[
        "claim helper=wren station=wash",
        "claim helper=bo station=wash",
    ]);
    day.refuses(Code::SeatTaken, "claim helper=silas station=wash");
    day.all(&["leave helper=bo", "claim helper=silas station=wash"]);
}

#[test]
fn a_station_without_seats_takes_nobody() {
    let refusal = Kitchen::open().refuses(Code::SeatTaken, "claim helper=osk station=rack");
    assert!(refusal.detail.contains("no seats"), "{refusal:?}");
}

#[test]
fn a_pot_takes_its_measure_and_not_a_thousandth_more() {
    let given = [
        "open-box lot=plums-a product=plum-mash",
        "tally station=wash amount=20000",
    ];
    let fill =
        |amount: i64| format!("fill-pot station=cook pot=big product=plum-mash amount={amount}");
    Kitchen::open().all(&given).does(&fill(12_000));
    Kitchen::open()
        .all(&given)
        .refuses(Code::OverCapacity, &fill(12_001));
    let mut day = Kitchen::open();
    day.all(&given).does(&fill(11_000));
    day.refuses(Code::OverCapacity, &fill(1001));
    day.does(&fill(1000));
    let refusal = day.refuses(Code::OverCapacity, &fill(1));
    assert!(refusal.detail.contains('0'), "{refusal:?}");
}

#[test]
fn a_pot_filled_without_a_number_takes_what_waits_and_fits() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=plums-a product=plum-mash",
        "tally station=wash amount=20000",
    ]);
    day.all(&["fill-pot station=cook pot=big product=plum-mash"]);
    day.all(&["fill-pot station=cook pot=small product=plum-mash"]);
    let view = day.view();
    let pots = &view["stations"]["cook"]["pots"];
    assert_eq!(
        (&pots["big"]["amount"], &pots["small"]["amount"]),
        (&json!(12_000), &json!(8000))
    );
    assert_eq!(day.waits("cook", "plum-mash"), 0);
}

#[test]
fn a_pot_filled_of_one_lot_takes_what_waits_of_that_lot() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=plums-a product=plum-mash amount=6000",
        "tally station=wash amount=6000",
        "split-lot lot=plums-a new_lot=plums-soft name=Soft_plums amount=2000 \
         waiting_at={\"product\":\"plum-mash\",\"station\":\"cook\"}",
        "fill-pot station=cook pot=big product=plum-mash lot=plums-soft",
    ]);
    assert_eq!(day.waits("cook", "plum-mash"), 4000);
}

#[test]
fn the_third_pot_finds_no_burner_until_one_is_free() {
    let mut day = Kitchen::open();
    for pot in ["big", "small", "third"] {
        for order in filled_pot(pot) {
            day.does(&order);
        }
    }
    let start = |pot: &str| format!("start-pot station=cook pot={pot} minder=maren");
    day.all(&[&start("big"), &start("small")]);
    day.refuses(Code::ResourceBusy, &start("third"));
    day.all(&["pot-done station=cook pot=big", &start("third")]);
}

#[test]
fn a_canner_and_a_pot_share_the_burners() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7);
    for pot in ["big", "small"] {
        for order in filled_pot(pot) {
            day.does(&order);
        }
    }
    day.does("start-pot station=cook pot=big minder=maren");
    let refusal = day.refuses(
        Code::ResourceBusy,
        "start-pot station=cook pot=small minder=maren",
    );
    assert!(
        refusal.detail.contains("Canner") && refusal.detail.contains("Cook"),
        "{refusal:?}"
    );
    day.wait(25).all(&[
        "heat-off load=l1",
        "start-pot station=cook pot=small minder=maren",
    ]);
}

#[test]
fn a_canner_takes_seven_quarts_and_not_eight() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(8);
    day.refuses(
        Code::OverCapacity,
        &build("canner", "l1", &[("pear-quarts", 8)]),
    );
    day.does(&build("canner", "l1", &[("pear-quarts", 7)]));
}

/// A quart takes a seventh of the canner, a pint a ninth: 3/7 + 5/9 = 62/63, 4/7 + 4/9 = 64/63.
#[test]
fn quarts_and_pints_share_a_canner_by_the_part_each_takes() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-quarts", 4, 2500)
        .fill("pears-a", "pear-pints", 5, 1250);
    let jars = |quarts, pints| {
        build_mixed(
            "canner",
            "l1",
            &[("pear-quarts", quarts), ("pear-pints", pints)],
        )
    };
    day.refuses(Code::OverCapacity, &jars(4, 4));
    day.does(&jars(3, 5));
    day.does("cancel-load load=l1");
    assert_eq!(
        (
            day.waits("canner", "pear-quarts"),
            day.waits("canner", "pear-pints")
        ),
        (4000, 5000)
    );
}

#[test]
fn a_jar_size_the_canner_does_not_know_is_refused() {
    let mut day = Kitchen::with(|plan| {
        plan["stations"]["canner"]["nature"]["canners"]["a"]["holds"] = json!({"quart": 7});
    });
    day.fill("pears-a", "pear-pints", 2, 1250);
    let refusal = day.refuses(
        Code::OverCapacity,
        &build("canner", "l1", &[("pear-pints", 2)]),
    );
    assert!(refusal.detail.contains("pint"), "{refusal:?}");
}

#[test]
fn no_load_is_heated_that_would_find_no_room_to_cool() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7)
        .rack_pears("l2", 7)
        .wait(12 * 60)
        .fill_pear_quarts(1);
    day.does(&build("canner", "l3", &[("pear-quarts", 1)]));
    let refusal = day.refuses(Code::OverCapacity, "heat-load load=l3");
    assert!(
        refusal.detail.contains("Rack") && refusal.detail.contains("14"),
        "{refusal:?}"
    );
    day.does(&seals("l1", "pear-quarts", &[("sealed", 1)]));
    day.does("heat-load load=l3");
}

#[test]
fn the_process_may_end_at_its_last_millisecond_and_not_before() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 1).wait(25).wait_ms(-1);
    let refusal = day.refuses(Code::TimeNotOver, "heat-off load=l1");
    assert!(refusal.detail.starts_with("1 of 25"), "{refusal:?}");
    day.wait_ms(1).does("heat-off load=l1");
    assert!(!day.view()["loads"]["l1"]["short"].as_bool().unwrap());
}

/// USDA Complete Guide to Home Canning: cool 12 to 24 hours.
#[test]
fn jars_leave_the_rack_after_twelve_hours_and_not_before() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7).wait(12 * 60).wait_ms(-1);
    let order = seals("l1", "pear-quarts", &[("sealed", 7)]);
    let refusal = day.refuses(Code::TimeNotOver, &order);
    assert!(refusal.detail.contains("12 hours"), "{refusal:?}");
    day.wait_ms(1).does(&order);
    assert_eq!(day.finished("pear-quarts"), 7000);
}

#[test]
fn amounts_are_more_than_nothing_and_at_most_a_million() {
    let order = |amount: i64| format!("restock supply=tubs amount={amount}");
    let mut day = Kitchen::open();
    for amount in [
        0,
        -1,
        -1_000_000_000_000_000,
        1_000_000_001,
        1_000_000_000_000_000,
    ] {
        day.refuses(Code::BadValue, &order(amount));
    }
    day.does(&order(1));
    day.does("recount-supply supply=tubs amount=0");
    day.does(&order(1_000_000_000));
    day.refuses(Code::BadValue, &order(1));
}

#[test]
fn jars_are_counted_whole() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2);
    let to = r#"{"as":"fresh"}"#;
    let divert =
        |amount: i64| format!("divert station=canner product=pear-quarts amount={amount} to={to}");
    day.refuses(Code::BadValue, &divert(1500));
    day.does(&divert(1000));
    let recount =
        |n: i64| format!("recount station=canner product=pear-quarts lot=pears-a amount={n}");
    day.refuses(Code::BadValue, &recount(999));
    day.does(&recount(0));
}

#[test]
fn what_fills_no_whole_jar_is_not_tallied_as_jars() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=7500",
        "tally station=slice amount=7500",
    ]);
    day.refuses(Code::BadValue, "tally station=fill amount=3000");
    day.does("tally station=fill amount=5000");
    assert_eq!(day.waits("canner", "pear-quarts"), 2000);
}

#[test]
fn a_pot_makes_a_whole_number_of_tubs() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pulp product=spread amount=8000",
        "fill-pot station=roast pot=roaster product=spread",
    ]);
    day.does("start-pot station=roast pot=roaster");
    day.refuses(Code::BadValue, "pot-done station=roast pot=roaster made=0");
    day.refuses(
        Code::BadValue,
        "pot-done station=roast pot=roaster made=12500",
    );
    day.does("pot-done station=roast pot=roaster made=12000");
    assert_eq!(day.waits("freezer", "spread"), 12_000);
}

#[test]
fn a_stock_is_drawn_to_its_last_and_not_below() {
    let mut day = Kitchen::open();
    day.all(&[
        "recount-supply supply=lids amount=3000",
        "open-box lot=pears-a product=pear-quarts",
    ]);
    day.all(&[
        "tally station=slice amount=20000",
        "tally station=fill amount=7500",
    ]);
    assert_eq!(day.stock("lids"), 0);
    let refusal = day.refuses(Code::SupplyOut, "tally station=fill amount=2500");
    assert_eq!(refusal.words["supply"], "lids");
    day.all(&[
        "restock supply=lids amount=1000",
        "tally station=fill amount=2500",
    ]);
}

#[test]
fn the_boxes_of_a_lot_are_opened_to_the_last_pound() {
    let mut day = Kitchen::open();
    let open = |amount: i64| format!("open-box lot=beans-a product=beans amount={amount}");
    day.refuses(Code::NotEnough, &open(30_001));
    day.does("open-box lot=beans-a product=beans");
    day.does("open-box lot=beans-a product=beans");
    assert_eq!(day.waits("slice", "beans"), 30_000);
    let refusal = day.refuses(Code::NotEnough, &open(1));
    assert!(refusal.detail.contains("Beans"), "{refusal:?}");
}
