//! Whatever is ordered, in whatever order: a jar on the shelf had its whole tested process, cooled
//! and sealed. Random days over a boiling-water and a pressure canner, judged by their history.

mod astray;
mod history;
mod onward;
mod play;

use history::{judge, on_the_shelf};
use play::{Day, Kind, Step, play};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::strategy::ValueTree;
use proptest::test_runner::{FileFailurePersistence, TestRunner};
use putby::day::Record;
use putby::day::time::Timestamp;
use serde_json::json;

/// Steps that bring loads on, most of them as they should be, some too soon or out of place.
fn steps() -> impl Strategy<Value = Vec<Step>> {
    let kind = prop_oneof![
        4 => Just(Kind::Start),
        1 => Just(Kind::Fill),
        1 => Just(Kind::Build),
        24 => Just(Kind::Next),
        4 => Just(Kind::NextTooSoon),
        3 => Just(Kind::OutOfPlace),
        3 => Just(Kind::Stray),
        1 => Just(Kind::Wait),
    ];
    let step = (kind, any::<u64>()).prop_map(|(kind, dice)| Step { kind, dice });
    vec(step, 30..140)
}

fn day() -> impl Strategy<Value = Day> {
    (select(vec![640, 4000]), steps()).prop_map(|(altitude_ft, steps)| Day { altitude_ft, steps })
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 256,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/rules/regressions.txt",
        ))),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_jar_reaches_the_shelf_but_through_its_whole_process_and_its_seal_check(day in day()) {
        let kitchen = play(&day);
        crate::trace::all_is_traced(&kitchen);
        prop_assert_eq!(judge(&kitchen.records, day.altitude_ft), Ok(()));
        for (product, sealed) in on_the_shelf(&kitchen.records) {
            prop_assert_eq!(kitchen.finished(&product), sealed * 1000, "{}", product);
        }
        for (product, ..) in history::TESTED {
            let sealed = on_the_shelf(&kitchen.records).get(*product).copied().unwrap_or(0);
            prop_assert_eq!(kitchen.finished(product), sealed * 1000, "{}", product);
        }
    }
}

/// The days must reach the shelf by both canners, or the property says little.
#[test]
fn many_random_days_do_reach_the_shelf() {
    let mut runner = TestRunner::deterministic();
    let (mut shelved, mut pressed, mut again, mut short, mut sealed) = (0, 0, 0, 0, 0);
    for _ in 0..100 {
        let day = day().new_tree(&mut runner).unwrap().current();
        let kitchen = play(&day);
        let shelf = on_the_shelf(&kitchen.records);
        shelved += usize::from(!shelf.is_empty());
        let by_pressure = ["beans", "pear-press"].iter();
        pressed += usize::from(by_pressure.clone().any(|id| shelf.contains_key(*id)));
        let loads = kitchen.state.loads.values();
        again += loads
            .clone()
            .filter(|load| !load.lost.is_empty() && !load.checked.is_empty())
            .count();
        short += loads.filter(|load| load.short).count();
        sealed += shelf.values().sum::<i64>();
    }
    assert!(
        shelved > 60 && pressed > 25 && again > 5 && short > 20 && sealed > 200,
        "{shelved} days, {pressed} by pressure, {again} boils lost, {short} short, {sealed} jars"
    );
}

/// A day on which jars reach the shelf by both canners at the first permitted millisecond.
fn sound_day() -> Vec<Record> {
    let mut day = crate::kitchen::Kitchen::open();
    day.boil_pears("l1", 2).wait(25);
    day.all(&["heat-off load=l1", "lift-load load=l1"]);
    day.press_beans("l2", 2).wait(20);
    day.all(&["heat-off load=l2", "pressure-zero load=l2"]);
    day.wait(10).does("lift-load load=l2");
    day.wait(12 * 60).all(&[
        &crate::kitchen::seals("l1", "pear-quarts", &[("sealed", 2)]),
        &crate::kitchen::seals("l2", "beans", &[("sealed", 1), ("broken", 1)]),
    ]);
    day.records.clone()
}

fn fact(record: &Record) -> String {
    let event = serde_json::to_value(&record.event).unwrap();
    event["fact"].as_str().unwrap().to_owned()
}

/// The same history with something changed about a load.
fn changed(fact_name: &str, load: &str, change: impl Fn(&mut Record) -> bool) -> Vec<Record> {
    let mut records = sound_day();
    records.retain_mut(|record| {
        let event = serde_json::to_value(&record.event).unwrap();
        let this = fact(record) == fact_name && event["load"] == load;
        !this || change(record)
    });
    records
}

#[test]
fn the_judge_finds_what_is_wrong_with_a_history() {
    assert_eq!(judge(&sound_day(), 640), Ok(()));
    assert_eq!(on_the_shelf(&sound_day())["pear-quarts"], 2);
    let soon = |record: &mut Record| {
        record.at = Timestamp(record.at.0 - 1);
        true
    };
    let late = |record: &mut Record| {
        record.at = Timestamp(record.at.0 + 1);
        true
    };
    let gone = |_: &mut Record| false;
    let lost = |record: &mut Record| {
        record.event = crate::kitchen::read(json!({"fact": "boil-was-lost", "load": "l1"}));
        true
    };
    let mut unknown = sound_day();
    let boil = unknown
        .iter()
        .position(|r| fact(r) == "boil-reached")
        .unwrap();
    let event = crate::kitchen::read(json!({"fact": "time-was-unknown", "ms": 1}));
    let next = Record {
        event,
        ..unknown[boil].clone()
    };
    unknown.insert(boil + 1, next);
    for (said, history) in [
        ("heat off too soon", changed("heat-turned-off", "l1", soon)),
        ("boil too late", changed("boil-reached", "l1", late)),
        ("no boil", changed("boil-reached", "l1", gone)),
        ("boil lost", changed("heat-turned-off", "l1", lost)),
        ("time unknown", unknown),
        ("never lifted", changed("load-lifted", "l1", gone)),
        ("checked too soon", changed("seals-checked", "l2", soon)),
        ("not vented", changed("vent-began", "l2", gone)),
        ("vented too shortly", changed("vent-began", "l2", late)),
        ("opened too soon", changed("load-lifted", "l2", soon)),
        ("under pressure", changed("pressure-fell", "l2", gone)),
        ("no such load", changed("load-built", "l2", gone)),
    ] {
        assert!(judge(&history, 640).is_err(), "{said}");
    }
    assert!(judge(&sound_day(), 4000).is_err(), "35 minutes at 4,000 ft");
}
