//! The JSON that devices send and journals keep: pinned by files, one order or fact a line.
//!
//! Stored events are for ever: a line of `events.ndjson` is only ever added. The orders are a whole
//! day that can be worked in their order, five minutes apart, with a night before each seal check.

use crate::kitchen::{Kitchen, order_of};
use putby::day::{Command, Event};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::BTreeSet;

const COMMANDS: &str = include_str!("../../fixtures/wire/commands.ndjson");
const EVENTS: &str = include_str!("../../fixtures/wire/events.ndjson");

fn lines(text: &str) -> impl Iterator<Item = Value> {
    text.lines().map(|line| serde_json::from_str(line).unwrap())
}

/// Every word the program knows for the tag.
fn words<T: DeserializeOwned>(tag: &str) -> BTreeSet<String> {
    let fault = serde_json::from_value::<T>(json!({tag: "no-such"}))
        .err()
        .unwrap()
        .to_string();
    let known = fault.split('`').skip(3).step_by(2);
    known.map(str::to_owned).collect()
}

fn pins<T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(text: &str, tag: &str) {
    let mut seen = BTreeSet::new();
    for (index, line) in lines(text).enumerate() {
        let read: T = serde_json::from_value(line.clone())
            .unwrap_or_else(|fault| panic!("line {}: {fault}", index + 1));
        let written = serde_json::to_value(&read).unwrap();
        assert_eq!(written, line, "line {}", index + 1);
        let again: T = serde_json::from_str(&written.to_string()).unwrap();
        assert_eq!(again, read);
        seen.insert(line[tag].as_str().unwrap().to_owned());
    }
    let known = words::<T>(tag);
    assert!(known.len() > 30, "{known:?}");
    assert_eq!(seen, known, "every {tag} has a line");
}

#[test]
fn every_command_reads_and_writes_as_it_is_pinned() {
    pins::<Command>(COMMANDS, "order");
}

#[test]
fn every_event_reads_and_writes_as_it_is_pinned() {
    pins::<Event>(EVENTS, "fact");
}

/// The pinned day, worked.
pub fn worked_day() -> Kitchen {
    let mut day = Kitchen::dark();
    for order in lines(COMMANDS) {
        if order["order"] == "check-seals" {
            day.wait(12 * 60);
        }
        day.does_json(order);
        day.wait(5);
    }
    day
}

#[test]
fn the_pinned_commands_are_a_day_that_brings_every_fact() {
    let day = worked_day();
    let facts: BTreeSet<String> = day
        .records
        .iter()
        .map(|record| {
            serde_json::to_value(&record.event).unwrap()["fact"]
                .as_str()
                .unwrap()
                .to_owned()
        })
        .collect();
    assert_eq!(facts, words::<Event>("fact"));
}

#[test]
fn what_may_be_left_out_may_be_left_out() {
    for (short, long) in [
        ("go-home helper=wren", "go-home helper=wren hurry=false"),
        ("heat-off load=l1", "heat-off load=l1 end_early=false"),
        ("lift-load load=l1", "lift-load load=l1 broken=[]"),
        (
            "confirm-jars product=sauce acid=true",
            "confirm-jars product=sauce acid=true sterile=false helper=null",
        ),
        (
            "check-seals load=l1 jars=[{\"product\":\"sauce\",\"sealed\":2}]",
            "check-seals load=l1 jars=[{\"product\":\"sauce\",\"sealed\":2,\"broken\":0,\
             \"refrigerated\":0,\"frozen\":0,\"reprocessed\":0,\"lot\":null}]",
        ),
        (
            "claim helper=wren station=wash",
            "claim helper=wren station=wash beside=null",
        ),
    ] {
        let read = |text: &str| serde_json::from_value::<Command>(order_of(text)).unwrap();
        assert_eq!(read(short), read(long));
    }
}

#[test]
fn a_short_plan_gets_the_usual_house_rule_and_bucket() {
    let plan = json!({"name": "Bare", "date": "2026-09-12"});
    let mut day = Kitchen::dark();
    day.does_json(json!({"order": "open-day", "plan": plan}));
    let view = day.view();
    assert_eq!(view["day"]["scraps_bucket_lb"], 10_000);
    assert_eq!(
        view["day"]["age_rules"]["blade"][1],
        json!({"from_age": 9, "verdict": "with-adult"})
    );
}

#[test]
fn a_field_nobody_knows_is_not_swallowed() {
    for mut order in lines(COMMANDS) {
        order["colour"] = json!("red");
        let fault = serde_json::from_value::<Command>(order)
            .unwrap_err()
            .to_string();
        assert!(fault.contains("colour"), "{fault}");
    }
}

#[test]
fn a_number_too_large_or_of_the_wrong_kind_is_no_amount() {
    let too_large = [i64::MIN, i64::MAX].map(|amount| json!(amount));
    let wrong = [json!(1e30), json!("7"), json!(2.5), json!(null), json!([1])];
    for amount in too_large.into_iter().chain(wrong) {
        let order = json!({"order": "restock", "supply": "lids", "amount": amount});
        assert!(serde_json::from_value::<Command>(order).is_err());
    }
}

#[test]
fn the_view_has_no_null_in_it() {
    fn nulls(value: &Value, path: &str, found: &mut Vec<String>) {
        match value {
            Value::Null => found.push(path.to_owned()),
            Value::Array(list) => list.iter().for_each(|v| nulls(v, path, found)),
            Value::Object(map) => {
                map.iter()
                    .for_each(|(key, v)| nulls(v, &format!("{path}/{key}"), found));
            }
            Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
        }
    }
    let worked = worked_day();
    let (mut day, mut found) = (putby::day::State::default(), Vec::new());
    for record in &worked.records {
        putby::day::apply(&mut day, record.at, record.command, &record.event);
        let view = serde_json::to_value(putby::day::view(&day)).unwrap();
        nulls(&view, "", &mut found);
    }
    assert_eq!(found, Vec::<String>::new());
}
