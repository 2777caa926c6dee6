//! Limits as pairs: the last that is accepted and the first that is refused.

use crate::kitchen::{Kitchen, MORNING, build, order_of};
use crate::refusals::filled_pot;
use putby::day::{Code, Role};
use serde_json::{Value, json};

/// Whether the plan with a change can be opened, and if not, why.
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
fn the_last_seat_is_taken_and_no_more() {
    let mut k = Kitchen::open();
    k.all(&[
        "claim helper=wren station=wash",
        "claim helper=bo station=wash",
    ]);
    k.refuses(Code::SeatTaken, "claim helper=silas station=wash");
    k.all(&["leave helper=bo", "claim helper=silas station=wash"]);
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
    let mut k = Kitchen::open();
    k.all(&given).does(&fill(11_000));
    k.refuses(Code::OverCapacity, &fill(1001));
    k.does(&fill(1000));
    let refusal = k.refuses(Code::OverCapacity, &fill(1));
    assert!(refusal.detail.contains('0'), "{refusal:?}");
}

#[test]
fn a_pot_filled_without_a_number_takes_what_waits_and_fits() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=plums-a product=plum-mash",
        "tally station=wash amount=20000",
    ]);
    k.all(&["fill-pot station=cook pot=big product=plum-mash"]);
    k.all(&["fill-pot station=cook pot=small product=plum-mash"]);
    let view = k.view();
    let pots = &view["stations"]["cook"]["pots"];
    assert_eq!(
        (&pots["big"]["amount"], &pots["small"]["amount"]),
        (&json!(12_000), &json!(8000))
    );
    assert_eq!(k.waits("cook", "plum-mash"), 0);
}

#[test]
fn a_pot_filled_of_one_lot_takes_what_waits_of_that_lot() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=plums-a product=plum-mash amount=6000",
        "tally station=wash amount=6000",
        "split-lot lot=plums-a new_lot=plums-soft name=Soft_plums amount=2000 \
         waiting_at={\"product\":\"plum-mash\",\"station\":\"cook\"}",
        "fill-pot station=cook pot=big product=plum-mash lot=plums-soft",
    ]);
    assert_eq!(k.waits("cook", "plum-mash"), 4000);
}

#[test]
fn the_third_pot_finds_no_burner_until_one_is_free() {
    let mut k = Kitchen::open();
    for pot in ["big", "small", "third"] {
        for order in filled_pot(pot) {
            k.does(&order);
        }
    }
    let start = |pot: &str| format!("start-pot station=cook pot={pot} minder=maren");
    k.all(&[&start("big"), &start("small")]);
    k.refuses(Code::ResourceBusy, &start("third"));
    k.all(&["pot-done station=cook pot=big", &start("third")]);
}

#[test]
fn a_canner_and_a_pot_share_the_burners() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7);
    for pot in ["big", "small"] {
        for order in filled_pot(pot) {
            k.does(&order);
        }
    }
    k.does("start-pot station=cook pot=big minder=maren");
    let refusal = k.refuses(
        Code::ResourceBusy,
        "start-pot station=cook pot=small minder=maren",
    );
    assert!(
        refusal.detail.contains("Canner") && refusal.detail.contains("Cook"),
        "{refusal:?}"
    );
    k.wait(25).all(&[
        "heat-off load=l1",
        "start-pot station=cook pot=small minder=maren",
    ]);
}

#[test]
fn a_canner_takes_seven_quarts_and_not_eight() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(8);
    k.refuses(
        Code::OverCapacity,
        &build("canner", "l1", &[("pear-quarts", 8)]),
    );
    k.does(&build("canner", "l1", &[("pear-quarts", 7)]));
}

/// A quart takes a seventh of the canner, a pint a ninth: 3/7 + 5/9 = 62/63, 4/7 + 4/9 = 64/63.
#[test]
fn quarts_and_pints_share_a_canner_by_the_part_each_takes() {
    let mut k = Kitchen::open();
    k.fill("pears-a", "pear-quarts", 4, 2500)
        .fill("pears-a", "pear-pints", 5, 1250);
    let jars = |quarts, pints| {
        build(
            "canner",
            "l1",
            &[("pear-quarts", quarts), ("pear-pints", pints)],
        )
    };
    k.refuses(Code::OverCapacity, &jars(4, 4));
    k.does(&jars(3, 5));
    k.does("cancel-load load=l1");
    assert_eq!(
        (
            k.waits("canner", "pear-quarts"),
            k.waits("canner", "pear-pints")
        ),
        (4000, 5000)
    );
}

#[test]
fn a_jar_size_the_canner_does_not_know_is_refused() {
    let mut k = Kitchen::with(|plan| {
        plan["stations"]["canner"]["nature"]["holds"] = json!({"quart": 7});
    });
    k.fill("pears-a", "pear-pints", 2, 1250);
    let refusal = k.refuses(
        Code::OverCapacity,
        &build("canner", "l1", &[("pear-pints", 2)]),
    );
    assert!(refusal.detail.contains("pint"), "{refusal:?}");
}

#[test]
fn no_load_is_heated_that_would_find_no_room_to_cool() {
    let mut k = Kitchen::open();
    k.rack_pears("l1", 7)
        .rack_pears("l2", 7)
        .fill_pear_quarts(1);
    k.does(&build("canner", "l3", &[("pear-quarts", 1)]));
    let refusal = k.refuses(Code::OverCapacity, "heat-load load=l3");
    assert!(
        refusal.detail.contains("Rack") && refusal.detail.contains("14"),
        "{refusal:?}"
    );
    k.wait(12 * 60)
        .all(&["tally station=rack product=pear-quarts amount=1000"]);
    k.does("heat-load load=l3");
}

#[test]
fn the_process_may_end_at_its_last_millisecond_and_not_before() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 1).wait(25).wait_ms(-1);
    let refusal = k.refuses(Code::TimeNotOver, "heat-off load=l1");
    assert!(refusal.detail.starts_with("1 of 25"), "{refusal:?}");
    k.wait_ms(1).does("heat-off load=l1");
    assert!(!k.view()["loads"]["l1"]["short"].as_bool().unwrap());
}

/// USDA Complete Guide to Home Canning: cool 12 to 24 hours.
#[test]
fn jars_leave_the_rack_after_twelve_hours_and_not_before() {
    let mut k = Kitchen::open();
    k.rack_pears("l1", 7).wait(12 * 60).wait_ms(-1);
    let order = "tally station=rack product=pear-quarts amount=7000";
    let refusal = k.refuses(Code::TimeNotOver, order);
    assert!(refusal.detail.contains("12 hours"), "{refusal:?}");
    k.wait_ms(1).does(order);
    assert_eq!(k.finished("pear-quarts"), 7000);
}

#[test]
fn amounts_are_more_than_nothing_and_at_most_a_million() {
    let order = |amount: i64| format!("restock supply=tubs amount={amount}");
    let mut k = Kitchen::open();
    for amount in [0, -1, i64::MIN, 1_000_000_001, i64::MAX] {
        k.refuses(Code::BadValue, &order(amount));
    }
    k.does(&order(1));
    k.does("recount-supply supply=tubs amount=0");
    k.does(&order(1_000_000_000));
    k.refuses(Code::BadValue, &order(1));
}

#[test]
fn jars_are_counted_whole() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(2);
    let to = r#"{"as":"fresh"}"#;
    let divert =
        |amount: i64| format!("divert station=canner product=pear-quarts amount={amount} to={to}");
    k.refuses(Code::BadValue, &divert(1500));
    k.does(&divert(1000));
    let recount =
        |n: i64| format!("recount station=canner product=pear-quarts lot=pears-a amount={n}");
    k.refuses(Code::BadValue, &recount(999));
    k.does(&recount(0));
}

#[test]
fn what_fills_no_whole_jar_is_not_tallied_as_jars() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=7500",
        "tally station=slice amount=7500",
    ]);
    k.refuses(Code::BadValue, "tally station=fill amount=3000");
    k.does("tally station=fill amount=5000");
    assert_eq!(k.waits("canner", "pear-quarts"), 2000);
}

#[test]
fn a_pot_makes_a_whole_number_of_tubs() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pulp product=spread amount=8000",
        "fill-pot station=roast pot=roaster product=spread",
    ]);
    k.does("start-pot station=roast pot=roaster");
    k.refuses(Code::BadValue, "pot-done station=roast pot=roaster made=0");
    k.refuses(
        Code::BadValue,
        "pot-done station=roast pot=roaster made=12500",
    );
    k.does("pot-done station=roast pot=roaster made=12000");
    assert_eq!(k.waits("freezer", "spread"), 12_000);
}

#[test]
fn names_have_one_to_sixty_plain_characters() {
    let order = |name: &str| json!({"order": "add-helper", "helper": "new", "plan": {"name": name, "age": 20}});
    let sixty = "é".repeat(60);
    for good in ["A", "Ann Marie", &sixty] {
        Kitchen::open().does_json(order(good));
    }
    let longer = "é".repeat(61);
    for bad in [
        "",
        "   ",
        &longer,
        "a\nb",
        "a\u{202e}b",
        "a\u{200b}b",
        "a\u{0}b",
    ] {
        let mut k = Kitchen::open();
        let refusal = k.refuses_role(Role::Lead, Code::BadValue, order(bad));
        assert!(
            !refusal.detail.contains(bad) || bad.trim().is_empty(),
            "{refusal:?}"
        );
    }
}

#[test]
fn notes_have_at_most_two_hundred_and_eighty_characters() {
    let order = |length: usize| json!({"order": "note", "on": {"about": "day"}, "text": "ü".repeat(length)});
    Kitchen::open().does_json(order(280));
    Kitchen::open().refuses_role(Role::Lead, Code::BadValue, order(281));
}

#[test]
fn a_name_is_given_to_one_helper() {
    let add = |name: &str| json!({"order": "add-helper", "helper": "new", "plan": {"name": name, "age": 20}});
    let mut k = Kitchen::open();
    let refusal = k.refuses_role(Role::Lead, Code::IdTaken, add("Wren"));
    assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    k.does_json(add("Wrenna"));
    let rename =
        json!({"order": "change-helper", "helper": "new", "plan": {"name": "Wren", "age": 20}});
    k.refuses_role(Role::Lead, Code::IdTaken, rename);
}

#[test]
fn ids_are_forty_plain_characters_at_most() {
    let order = |id: &str| json!({"order": "retire-lot", "lot": id});
    let read = |id: &str| serde_json::from_value::<putby::day::Command>(order(id));
    assert!(read(&"a".repeat(40)).is_ok());
    for bad in [
        "",
        &"a".repeat(41),
        "A",
        "a b",
        "-a",
        "ä",
        "a/b",
        "a.b",
        "a\u{0}",
    ] {
        let fault = read(bad).unwrap_err().to_string();
        assert!(fault.contains("1 to 40 characters"), "{fault}");
    }
}

/// The usual house rule: blades with a grown-up from 9, alone from 13; heat with one from 13, alone
/// from 16. Ages are completed years, so a birthday is the next number.
#[test]
fn the_house_rule_changes_on_the_birthday() {
    let rows = [
        ("slice", 8, Some(Code::AgeRule)),
        ("slice", 9, Some(Code::AdultNeeded)),
        ("slice", 12, Some(Code::AdultNeeded)),
        ("slice", 13, None),
        ("fill", 12, Some(Code::AgeRule)),
        ("fill", 13, Some(Code::AdultNeeded)),
        ("fill", 15, Some(Code::AdultNeeded)),
        ("fill", 16, None),
        ("wash", 0, None),
    ];
    for (station, age, expected) in rows {
        let mut k = Kitchen::with(|plan| plan["helpers"]["bo"]["age"] = json!(age));
        let order = order_of(&format!("claim helper=bo station={station}"));
        let code = k
            .gives(Role::Helper, order)
            .err()
            .map(|refusal| refusal.code);
        assert_eq!(code, expected, "{station} at {age}");
    }
}

#[test]
fn a_grown_up_beside_is_eighteen() {
    for (age, expected) in [(17, Some(Code::AdultBusy)), (18, None)] {
        let mut k = Kitchen::with(|plan| plan["helpers"]["juno"]["age"] = json!(age));
        let order = order_of("claim helper=wren station=slice beside=juno");
        let code = k
            .gives(Role::Helper, order)
            .err()
            .map(|refusal| refusal.code);
        assert_eq!(code, expected, "{age}");
    }
}

#[test]
fn a_stock_is_drawn_to_its_last_and_not_below() {
    let mut k = Kitchen::open();
    k.all(&[
        "recount-supply supply=lids amount=3000",
        "open-box lot=pears-a product=pear-quarts",
    ]);
    k.all(&[
        "tally station=slice amount=20000",
        "tally station=fill amount=7500",
    ]);
    assert_eq!(k.stock("lids"), 0);
    let refusal = k.refuses(Code::SupplyOut, "tally station=fill amount=2500");
    assert_eq!(refusal.words["supply"], "lids");
    k.all(&[
        "restock supply=lids amount=1000",
        "tally station=fill amount=2500",
    ]);
}

#[test]
fn the_boxes_of_a_lot_are_opened_to_the_last_pound() {
    let mut k = Kitchen::open();
    let open = |amount: i64| format!("open-box lot=beans-a product=beans amount={amount}");
    k.refuses(Code::NotEnough, &open(30_001));
    k.does("open-box lot=beans-a product=beans");
    k.does("open-box lot=beans-a product=beans");
    assert_eq!(k.waits("slice", "beans"), 30_000);
    let refusal = k.refuses(Code::NotEnough, &open(1));
    assert!(refusal.detail.contains("Beans"), "{refusal:?}");
}

#[test]
fn a_plan_is_refused_at_the_first_number_out_of_range() {
    assert_eq!(opens(|_| {}), None);
    assert_eq!(
        opens(|plan| plan["altitude_ft"] = json!(-1401)),
        Some(Code::BadValue)
    );
    assert_eq!(
        opens(|plan| plan["altitude_ft"] = json!(20_001)),
        Some(Code::BadValue)
    );
    assert_eq!(
        opens(|plan| plan["stations"]["wash"]["seats"] = json!(30)),
        None
    );
    assert_eq!(
        opens(|plan| plan["stations"]["wash"]["seats"] = json!(31)),
        Some(Code::BadValue)
    );
    assert_eq!(
        opens(|plan| plan["helpers"]["bo"]["age"] = json!(120)),
        None
    );
    assert_eq!(
        opens(|plan| plan["helpers"]["bo"]["age"] = json!(121)),
        Some(Code::BadValue)
    );
    assert_eq!(
        opens(|plan| plan["scraps_bucket_lb"] = json!(0)),
        Some(Code::BadValue)
    );
    let cook = |minutes: u32| {
        opens(|plan| plan["products"]["plum-mash"]["route"][1]["cook_min"] = json!(minutes))
    };
    assert_eq!(
        (cook(2880), cook(2881), cook(0)),
        (None, Some(Code::BadValue), Some(Code::BadValue))
    );
    let burners = |n: u32| opens(|plan| plan["stations"]["cook"]["occupies"]["burners"] = json!(n));
    assert_eq!(
        (burners(2), burners(3), burners(0)),
        (None, Some(Code::BadValue), Some(Code::BadValue))
    );
}

#[test]
fn dates_are_days_of_the_calendar() {
    for good in ["2026-09-12", "2024-02-29", "2026-12-31"] {
        assert_eq!(opens(|plan| plan["date"] = json!(good)), None, "{good}");
    }
    let bad = [
        "",
        "2026-9-12",
        "12.09.2026",
        "2026-13-01",
        "2026-00-10",
        "2026-01-32",
        "2026-02-30",
    ];
    for bad in bad {
        assert_eq!(
            opens(|plan| plan["date"] = json!(bad)),
            Some(Code::BadValue),
            "{bad}"
        );
    }
}

#[test]
fn a_kitchen_has_at_most_forty_stations_and_sixty_helpers() {
    let stations = |count: usize| {
        opens(|plan| {
            let wash = plan["stations"]["wash"].clone();
            let have = plan["stations"].as_object().unwrap().len();
            for number in have..count {
                plan["stations"][format!("wash-{number}")] = wash.clone();
            }
        })
    };
    assert_eq!((stations(40), stations(41)), (None, Some(Code::BadValue)));
    let helpers = |count: usize| {
        opens(|plan| {
            let have = plan["helpers"].as_object().unwrap().len();
            for number in have..count {
                plan["helpers"][format!("h{number}")] =
                    json!({"name": format!("H{number}"), "age": 20});
            }
        })
    };
    assert_eq!((helpers(60), helpers(61)), (None, Some(Code::BadValue)));
}

#[test]
fn a_carried_amount_of_jars_is_whole() {
    let carried = |amount: i64| {
        opens(|plan| {
            plan["carried"] = json!([{"station": "freezer", "product": "plum-tubs",
                "lot": "plums-a", "amount": amount, "since": MORNING.0}]);
        })
    };
    assert_eq!((carried(1000), carried(1500)), (None, Some(Code::BadValue)));
}
