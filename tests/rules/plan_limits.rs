//! Limits of plans, names, ids and ages: the last that is accepted and the first that is refused.

use crate::kitchen::{Kitchen, MORNING, order_of};
use putby::day::{Code, Role};
use serde_json::{Value, json};

/// Whether the plan with a change can be opened, and if not, why.
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
fn names_have_one_to_sixty_plain_characters() {
    let order = |name: &str| {
        let plan = json!({"name": name, "produce": "pears", "measure": "lb", "amount": 9000,
            "box_holds": 3000});
        json!({"order": "add-lot", "lot": "new", "plan": plan})
    };
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
        let mut day = Kitchen::open();
        let refusal = day.refuses_role(Role::Lead, Code::BadValue, order(bad));
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
    let add = |name: &str| {
        let plan = json!({"name": name, "age": 20});
        json!({"order": "add-helper", "helper": "new", "plan": plan})
    };
    let mut day = Kitchen::open();
    let refusal = day.refuses_role(Role::Lead, Code::IdTaken, add("Wren"));
    assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    day.does_json(add("Wrenna"));
    let rename = |name: &str| json!({"order": "change-helper", "helper": "new", "plan": {"name": name, "age": 20}});
    for same in ["Wren", "wren ", "WREN"] {
        day.refuses_role(Role::Lead, Code::IdTaken, rename(same));
    }
    // One letter, or a letter and the mark over it: nobody can see which (Unicode NFC).
    day.does_json(rename("Ren\u{e9}"));
    let mut other = add("Rene\u{301}");
    other["helper"] = "other".into();
    day.refuses_role(Role::Lead, Code::IdTaken, other);
}

#[test]
fn a_helpers_name_has_twenty_four_characters_at_most() {
    let add = |name: String| {
        let plan = json!({"name": name, "age": 20});
        json!({"order": "add-helper", "helper": "new", "plan": plan})
    };
    Kitchen::open().does_json(add("e\u{301}".repeat(24)));
    Kitchen::open().refuses_role(Role::Lead, Code::BadValue, add("\u{e9}".repeat(25)));
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
        let mut day = Kitchen::with(|plan| plan["helpers"]["bo"]["age"] = json!(age));
        let order = order_of(&format!("claim helper=bo station={station}"));
        let code = day
            .gives(Role::Helper, order)
            .err()
            .map(|refusal| refusal.code);
        assert_eq!(code, expected, "{station} at {age}");
    }
}

#[test]
fn a_grown_up_beside_is_eighteen() {
    for (age, expected) in [(17, Some(Code::AdultBusy)), (18, None)] {
        let mut day = Kitchen::with(|plan| plan["helpers"]["juno"]["age"] = json!(age));
        let order = order_of("claim helper=wren station=slice beside=juno");
        let code = day
            .gives(Role::Helper, order)
            .err()
            .map(|refusal| refusal.code);
        assert_eq!(code, expected, "{age}");
    }
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

#[test]
fn a_day_holds_five_hundred_notes_and_a_hundred_open_chores() {
    let mut day = Kitchen::open();
    let note = "note on={\"about\":\"day\"} text=Warm";
    for _ in 0..500 {
        day.does(note);
    }
    let refusal = day.refuses(Code::BadValue, note);
    assert!(refusal.instead.contains("paper"), "{refusal:?}");
    let open = day.chores().len();
    for number in open..100 {
        day.does(&format!("raise-chore chore=c{number} text=Sweep"));
    }
    day.refuses(Code::BadValue, "raise-chore chore=more text=Sweep");
    day.all(&[
        "finish-chore chore=c99",
        "raise-chore chore=more text=Sweep",
    ]);
}

/// A slip in a yield (a million cups of a pound) must end in a word, not in a number too large.
#[test]
fn an_absurd_yield_breaks_nothing() {
    let mut day = Kitchen::with(|plan| {
        let route = &mut plan["products"]["pear-quarts"]["route"];
        route[0]["yields"] = json!({"made": 1_000_000, "from": 1});
        route[1]["carrier"]["holds"] = json!(1);
    });
    day.does("open-box lot=pears-a product=pear-quarts amount=1000");
    for _ in 0..20 {
        let all = "recount station=slice product=pear-quarts lot=pears-a amount=1000000000";
        for order in [all, "tally station=slice amount=1000000000"] {
            let _ = day.gives(Role::Lead, order_of(order));
            day.view();
        }
    }
    putby::lookback::csv(&putby::lookback::look_back(&day.records));
}
