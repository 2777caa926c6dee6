//! Every reason to refuse: provoked once, with a useful word and nothing changed.
//!
//! `case` names the provocation of each code and does not compile when a code has none.

use crate::kitchen::{Kitchen, build, order_of, seals};
use putby::day::{Code, Refusal, Role};
use serde_json::json;

/// Every code, from the program's own list of words.
fn all_codes() -> Vec<Code> {
    let fault = serde_json::from_str::<Code>("\"no-such-code\"").unwrap_err();
    let fault = fault.to_string();
    let words = fault.split('`').skip(3).step_by(2);
    words
        .map(|word| serde_json::from_value(json!(word)).unwrap())
        .collect()
}

/// A way to provoke a refusal, and words the two sentences must have.
type Case = (fn() -> Refusal, &'static [&'static str]);

fn case(code: Code) -> Case {
    match code {
        Code::LeadOnly => (lead_only, &["lead"]),
        Code::WatchOnly => (watch_only, &["watches", "helper"]),
        Code::DayExists => (day_exists, &["opened"]),
        Code::NoDay => (no_day, &["Open a day"]),
        Code::DayClosed => (day_closed, &["closed", "carried over"]),
        Code::StillHot => (still_hot, &["l1", "Canner", "lift"]),
        Code::BadValue => (bad_value, &["0", "1,000,000"]),
        Code::IdTaken => (id_taken, &["wash"]),
        Code::Unknown => (unknown, &["peel"]),
        Code::InUse => (in_use, &["Wren", "Wash"]),
        Code::NotSetUp => (not_set_up, &["Mill", "lead"]),
        Code::SeatTaken => (seat_taken, &["Osk", "Bag", "3 min", "free seat"]),
        Code::AlreadySeated => (already_seated, &["Wren", "Wash", "Switch"]),
        Code::NotSeated => (not_seated, &["Wren", "Wash"]),
        Code::NotHere => (not_here, &["Wren", "resting", "back"]),
        Code::AgeRule => (age_rule, &["Bo", "6", "sharp blades", "Slice"]),
        Code::OwnLimit => (own_limit, &["Edda", "heat", "Fill"]),
        Code::AdultNeeded => (adult_needed, &["Wren", "Slice", "grown-up"]),
        Code::AdultBusy => (adult_busy, &["Osk", "Fill"]),
        Code::Depended => (depended, &["Osk", "Wren", "Slice"]),
        Code::ResourceBusy => (resource_busy, &["burners", "2", "Cook"]),
        Code::NotEnough => (not_enough, &["9 lb", "5 lb", "Slice", "count"]),
        Code::WhichProduct => (which_product, &["pear quarts", "peach pints"]),
        Code::NoWay => (no_way, &["pear quarts", "Wash", "Slice"]),
        Code::SayBecomes => (say_becomes, &["Bag", "qt", "lb"]),
        Code::SupplyOut => (supply_out, &["lids", "3", "2"]),
        Code::NothingToUndo => (nothing_to_undo, &["Slice", "count"]),
        Code::MovedOn => (moved_on, &["moved on", "Count"]),
        Code::WrongStation => (wrong_station, &["Wash", "pots"]),
        Code::PotDirty => (pot_dirty, &["big pot", "Wash"]),
        Code::PotFull => (pot_full, &["big pot", "plum mash"]),
        Code::PotEmpty => (pot_empty, &["big pot", "Fill"]),
        Code::OverCapacity => (over_capacity, &["big pot", "12", "13"]),
        Code::WrongPhase => (wrong_phase, &["l1", "boil"]),
        Code::NeedsMinder => (needs_minder, &["big pot", "stirred"]),
        Code::CannerBusy => (canner_busy, &["Canner", "l1"]),
        Code::NoAltitude => (no_altitude, &["altitude"]),
        Code::NoTestedProcess => (no_tested_process, &["plum tubs"]),
        Code::UnlikePressure => (unlike_pressure, &["beans", "pressed pears", "two loads"]),
        Code::MixedLoad => (
            mixed_load,
            &["pear quarts", "pear pints", "lead", "longest"],
        ),
        Code::UnlikePacks => (unlike_packs, &["140", "180", "two loads"]),
        Code::AcidUnconfirmed => (
            acid_unconfirmed,
            &["tomato sauce", "lemon juice", "confirm"],
        ),
        Code::JarsUnsterile => (jars_unsterile, &["apple butter", "sterilise", "boiled"]),
        Code::JarsStood => (jars_stood, &["pear quarts", "2 h 1 min", "refrigerator"]),
        Code::NotVented => (not_vented, &["1 of 10", "steam", "10 minutes"]),
        Code::StillUnderPressure => (still_under_pressure, &["1 min", "weight", "10 minutes"]),
        Code::SealsFirst => (seals_first, &["Rack", "seal check", "cooled"]),
        Code::TooLate => (
            too_late,
            &["pear quarts", "24 hours", "refrigerator", "freeze"],
        ),
        Code::TimeNotOver => (time_not_over, &["1 of 25", "shelf"]),
        Code::NeedsFate => (needs_fate, &["shelf", "refrigerator", "freezer"]),
        Code::ChoreFinished => (chore_finished, &["Sweep", "done"]),
        Code::NotRinging => (not_ringing, &["ring", "timers"]),
        Code::AlarmTaken => (alarm_taken, &["Maren", "4 minutes"]),
        Code::HurtOver => (hurt_over, &["Osk", "anew"]),
    }
}

#[test]
fn every_code_is_provoked_says_the_useful_thing_and_changes_nothing() {
    let codes = all_codes();
    assert!(codes.len() >= 54, "{}", codes.len());
    for code in codes {
        let (provoke, words) = case(code);
        let refusal = provoke();
        assert_eq!(refusal.code, code);
        let said = format!("{} {}", refusal.detail, refusal.instead);
        for word in words {
            assert!(
                said.contains(word),
                "{code:?} does not say {word:?}: {said}"
            );
        }
    }
}

#[test]
fn a_refusal_in_json_has_its_code_and_leaves_out_what_it_lacks() {
    let refusal = serde_json::to_value(no_day()).unwrap();
    assert_eq!(refusal["code"], "no-day");
    assert!(
        refusal.get("offer").is_none() && refusal.get("words").is_none(),
        "{refusal}"
    );
}

/// The offers are orders that work.
#[test]
fn what_a_refusal_offers_puts_it_right() {
    let mut day = Kitchen::open();
    day.all(&[
        "claim helper=wren station=wash",
        "open-box lot=plums-a product=plum-mash amount=5000",
    ]);
    let refusal = day.refuses(Code::AlreadySeated, "claim helper=wren station=bag");
    day.does_json(serde_json::to_value(refusal.offer.unwrap()).unwrap());
    assert_eq!(day.seat("wren"), Some("bag"));
    let refusal = day.refuses(Code::NotSeated, "tally station=wash helper=wren");
    day.does_json(serde_json::to_value(refusal.offer.unwrap()).unwrap());
    let refusal = day.refuses(
        Code::NotEnough,
        "tally station=wash helper=wren amount=9000",
    );
    day.does_json(serde_json::to_value(refusal.offer.unwrap()).unwrap());
    day.does("tally station=wash helper=wren amount=9000");
    assert_eq!(
        (
            day.waits("wash", "plum-mash"),
            day.waits("cook", "plum-mash")
        ),
        (0, 9000)
    );
}

fn refused(code: Code, given: &[&str], order: &str) -> Refusal {
    Kitchen::open().all(given).refuses(code, order)
}

fn lead_only() -> Refusal {
    Kitchen::open().refuses_role(Role::Helper, Code::LeadOnly, order_of("close-day"))
}

fn watch_only() -> Refusal {
    let order = order_of("claim helper=wren station=wash");
    Kitchen::open().refuses_role(Role::Watcher, Code::WatchOnly, order)
}

fn day_exists() -> Refusal {
    let again = json!({"order": "open-day", "plan": crate::test_plan::plan()});
    Kitchen::open().refuses_role(Role::Lead, Code::DayExists, again)
}

fn no_day() -> Refusal {
    Kitchen::dark().refuses(Code::NoDay, "close-day")
}

fn day_closed() -> Refusal {
    refused(
        Code::DayClosed,
        &["close-day"],
        "claim helper=wren station=wash",
    )
}

fn still_hot() -> Refusal {
    Kitchen::open()
        .boil_pears("l1", 7)
        .refuses(Code::StillHot, "close-day")
}

fn bad_value() -> Refusal {
    refused(Code::BadValue, &[], "restock supply=lids amount=0")
}

fn id_taken() -> Refusal {
    let station = r#"{"name":"Wash","work":"wash","nature":{"is":"hand"},"seats":1}"#;
    refused(
        Code::IdTaken,
        &[],
        &format!("add-station station=wash plan={station}"),
    )
}

fn unknown() -> Refusal {
    refused(Code::Unknown, &[], "claim helper=wren station=peel")
}

fn in_use() -> Refusal {
    refused(
        Code::InUse,
        &["claim helper=wren station=wash"],
        "put-away station=wash",
    )
}

fn not_set_up() -> Refusal {
    refused(Code::NotSetUp, &[], "claim helper=wren station=mill")
}

fn seat_taken() -> Refusal {
    let mut day = Kitchen::open();
    day.does("claim helper=osk station=bag");
    day.wait(3)
        .refuses(Code::SeatTaken, "claim helper=wren station=bag")
}

fn already_seated() -> Refusal {
    let given = ["claim helper=wren station=wash"];
    refused(Code::AlreadySeated, &given, "claim helper=wren station=bag")
}

fn not_seated() -> Refusal {
    let given = ["open-box lot=plums-a product=plum-mash"];
    refused(Code::NotSeated, &given, "tally station=wash helper=wren")
}

fn not_here() -> Refusal {
    refused(
        Code::NotHere,
        &["take-break helper=wren"],
        "claim helper=wren station=wash",
    )
}

fn age_rule() -> Refusal {
    refused(
        Code::AgeRule,
        &[],
        "claim helper=bo station=slice beside=osk",
    )
}

fn own_limit() -> Refusal {
    let limit = |plan: &mut serde_json::Value| {
        plan["helpers"]["edda"]["limits"] = json!(["heat"]);
    };
    Kitchen::with(limit).refuses(Code::OwnLimit, "claim helper=edda station=fill")
}

fn adult_needed() -> Refusal {
    refused(Code::AdultNeeded, &[], "claim helper=wren station=slice")
}

fn adult_busy() -> Refusal {
    let given = ["claim helper=osk station=fill"];
    refused(
        Code::AdultBusy,
        &given,
        "claim helper=wren station=slice beside=osk",
    )
}

fn depended() -> Refusal {
    let given = ["claim helper=wren station=slice beside=osk"];
    refused(Code::Depended, &given, "go-home helper=osk")
}

/// Boxes of plums washed and in a pot.
pub fn filled_pot(pot: &str) -> [String; 3] {
    [
        "open-box lot=plums-a product=plum-mash amount=12000".to_owned(),
        "tally station=wash product=plum-mash amount=12000".to_owned(),
        format!("fill-pot station=cook pot={pot} product=plum-mash"),
    ]
}

fn cooking(pots: &[&str]) -> Kitchen {
    let mut day = Kitchen::open();
    for pot in pots {
        for order in filled_pot(pot) {
            day.does(&order);
        }
        day.does(&format!("start-pot station=cook pot={pot} minder=maren"));
    }
    day
}

fn resource_busy() -> Refusal {
    let mut day = cooking(&["big", "small"]);
    for order in filled_pot("third") {
        day.does(&order);
    }
    day.refuses(
        Code::ResourceBusy,
        "start-pot station=cook pot=third minder=osk",
    )
}

fn not_enough() -> Refusal {
    let given = ["open-box lot=pears-a product=pear-quarts amount=5000"];
    refused(Code::NotEnough, &given, "tally station=slice amount=9000")
}

fn which_product() -> Refusal {
    let given = [
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "open-box lot=peaches-a product=peach-pints amount=5000",
    ];
    refused(Code::WhichProduct, &given, "tally station=slice")
}

fn no_way() -> Refusal {
    refused(Code::NoWay, &[], "tally station=wash product=pear-quarts")
}

fn say_becomes() -> Refusal {
    let to = r#"{"as":"route","product":"plum-tubs","station":"bag"}"#;
    let given = ["open-box lot=plums-a product=plum-mash"];
    let order = format!("divert station=wash product=plum-mash amount=1000 to={to}");
    refused(Code::SayBecomes, &given, &order)
}

fn supply_out() -> Refusal {
    let given = [
        "recount-supply supply=lids amount=2000",
        "open-box lot=pears-a product=pear-quarts amount=7500",
        "tally station=slice amount=7500",
    ];
    refused(Code::SupplyOut, &given, "tally station=fill amount=7500")
}

fn nothing_to_undo() -> Refusal {
    refused(Code::NothingToUndo, &[], "undo-tally station=slice")
}

fn moved_on() -> Refusal {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2)
        .refuses(Code::MovedOn, "undo-tally station=slice")
}

fn wrong_station() -> Refusal {
    refused(Code::WrongStation, &[], "empty-pot station=wash pot=big")
}

fn pot_dirty() -> Refusal {
    let mut day = cooking(&["big"]);
    day.all(&[
        "pot-done station=cook pot=big",
        "open-box lot=plums-a product=plum-mash",
    ]);
    day.refuses(
        Code::PotDirty,
        "fill-pot station=cook pot=big product=plum-mash",
    )
}

fn pot_full() -> Refusal {
    cooking(&["big"]).refuses(
        Code::PotFull,
        "fill-pot station=cook pot=big product=plum-mash",
    )
}

fn pot_empty() -> Refusal {
    refused(
        Code::PotEmpty,
        &[],
        "start-pot station=cook pot=big minder=maren",
    )
}

fn over_capacity() -> Refusal {
    let given = [
        "open-box lot=plums-a product=plum-mash amount=13000",
        "tally station=wash amount=13000",
    ];
    let order = "fill-pot station=cook pot=big product=plum-mash amount=13000";
    refused(Code::OverCapacity, &given, order)
}

fn wrong_phase() -> Refusal {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7);
    day.all(&[
        &build("canner", "l1", &[("pear-quarts", 7)]),
        "heat-load load=l1",
    ]);
    day.refuses(Code::WrongPhase, "boil-lost load=l1")
}

fn needs_minder() -> Refusal {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.refuses(Code::NeedsMinder, "start-pot station=cook pot=big")
}

fn canner_busy() -> Refusal {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7).fill_pear_quarts(1);
    day.refuses(
        Code::CannerBusy,
        &build("canner", "l2", &[("pear-quarts", 1)]),
    )
}

fn no_altitude() -> Refusal {
    let mut day = Kitchen::with(|plan| {
        plan.as_object_mut().unwrap().remove("altitude_ft");
    });
    day.fill_pear_quarts(7);
    day.refuses(
        Code::NoAltitude,
        &build("canner", "l1", &[("pear-quarts", 7)]),
    )
}

fn no_tested_process() -> Refusal {
    let order = build("canner", "l1", &[("plum-tubs", 1)]);
    refused(Code::NoTestedProcess, &[], &order)
}

fn unlike_pressure() -> Refusal {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-press", 2, 1250)
        .fill("beans-a", "beans", 2, 1000);
    let order = build("press", "l1", &[("pear-press", 2), ("beans", 2)]);
    day.refuses(Code::UnlikePressure, &order)
}

fn mixed_load() -> Refusal {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(2)
        .fill("pears-a", "pear-pints", 2, 1250);
    let jars = [("pear-quarts", 2), ("pear-pints", 2)];
    day.refuses(Code::MixedLoad, &build("canner", "l1", &jars))
}

fn unlike_packs() -> Refusal {
    let mut day = Kitchen::open();
    day.fill("peaches-a", "peach-pints", 2, 1000)
        .fill("pears-a", "pear-pints", 2, 1250);
    let jars = [("peach-pints", 2), ("pear-pints", 2)];
    day.refuses(Code::UnlikePacks, &build("canner", "l1", &jars))
}

fn acid_unconfirmed() -> Refusal {
    let mut day = Kitchen::open();
    day.fill("tomatoes-a", "sauce", 2, 2500);
    day.refuses(
        Code::AcidUnconfirmed,
        &build("canner", "l1", &[("sauce", 2)]),
    )
}

fn jars_unsterile() -> Refusal {
    let mut day = Kitchen::open();
    day.fill("apples-a", "butter", 2, 1000);
    day.refuses(
        Code::JarsUnsterile,
        &build("canner", "l1", &[("butter", 2)]),
    )
}

fn jars_stood() -> Refusal {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7).wait(121);
    let order = build("canner", "l1", &[("pear-quarts", 7)]);
    day.refuses(Code::JarsStood, &order)
}

fn not_vented() -> Refusal {
    let mut day = Kitchen::open();
    day.fill("beans-a", "beans", 2, 1000);
    day.all(&[
        &build("press", "l1", &[("beans", 2)]),
        "heat-load load=l1",
        "vent load=l1",
    ]);
    day.wait(9).refuses(Code::NotVented, "rolling-boil load=l1")
}

fn still_under_pressure() -> Refusal {
    let mut day = Kitchen::open();
    day.press_beans("l1", 2).wait(20);
    day.all(&["heat-off load=l1", "pressure-zero load=l1"]);
    day.wait(9)
        .refuses(Code::StillUnderPressure, "lift-load load=l1")
}

fn seals_first() -> Refusal {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 2).wait(12 * 60);
    day.refuses(Code::SealsFirst, "tally station=rack product=pear-quarts")
}

fn too_late() -> Refusal {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 2).wait(24 * 60 + 1);
    let failed = seals("l1", "pear-quarts", &[("sealed", 1), ("reprocessed", 1)]);
    day.refuses(Code::TooLate, &failed)
}

fn time_not_over() -> Refusal {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7)
        .wait(24)
        .refuses(Code::TimeNotOver, "heat-off load=l1")
}

fn needs_fate() -> Refusal {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7)
        .wait(24)
        .does("heat-off load=l1 end_early=true");
    day.refuses(Code::NeedsFate, "lift-load load=l1")
}

fn chore_finished() -> Refusal {
    let given = [
        "raise-chore chore=sweep text=Sweep_the_floor",
        "finish-chore chore=sweep",
    ];
    refused(Code::ChoreFinished, &given, "finish-chore chore=sweep")
}

fn not_ringing() -> Refusal {
    let mut day = cooking(&["big"]);
    let early = crate::alarms::key_of(&day, "stir");
    day.refuses(
        Code::NotRinging,
        "take-alarm alarm=stir/cook/big/17 helper=maren",
    );
    day.refuses(
        Code::NotRinging,
        &format!("take-alarm alarm={early} helper=maren"),
    )
}

fn alarm_taken() -> Refusal {
    let mut day = cooking(&["big"]);
    let key = crate::alarms::key_of(&day, "stir");
    day.wait(18)
        .does(&format!("take-alarm alarm={key} helper=maren"));
    day.refuses(
        Code::AlarmTaken,
        &format!("take-alarm alarm={key} helper=edda"),
    )
}

fn hurt_over() -> Refusal {
    let given = ["report-hurt hurt=h1", "hurt-tended hurt=h1 helper=osk"];
    refused(Code::HurtOver, &given, "hurt-tended hurt=h1 helper=maren")
}
