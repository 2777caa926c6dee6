//! The ready kitchens: each can be opened as it is, and has what its products need.

use putby::day::plan::DayPlan;
use putby::day::time::Timestamp;
use putby::day::{Command, Moment, Role, State, execute};
use serde::Deserialize;
use uuid::Uuid;

/// A file of `fixtures/kitchens/`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadyKitchen {
    name: String,
    about: String,
    plan: DayPlan,
}

fn kitchens() -> Vec<ReadyKitchen> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/kitchens");
    let files = std::fs::read_dir(folder).unwrap();
    let read = |file: std::io::Result<std::fs::DirEntry>| {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        serde_json::from_str(&text).unwrap()
    };
    files.map(read).collect()
}

fn open(plan: DayPlan) -> Result<State, String> {
    let mut state = State::default();
    let plan = Box::new(plan);
    let moment = Moment {
        now: Timestamp(0),
        command: Uuid::nil(),
        role: Role::Lead,
    };
    match execute(&mut state, &Command::OpenDay { plan }, &moment) {
        Ok(_) => Ok(state),
        Err(refusal) => Err(refusal.detail),
    }
}

#[test]
fn every_ready_kitchen_opens_and_says_what_it_is_for() {
    let kitchens = kitchens();
    assert_eq!(kitchens.len(), 3);
    for kitchen in kitchens {
        assert!(!kitchen.name.is_empty() && !kitchen.about.is_empty());
        assert!(kitchen.plan.helpers.is_empty() && kitchen.plan.lots.is_empty());
        let opened = open(kitchen.plan);
        assert!(opened.is_ok(), "{}: {opened:?}", kitchen.name);
    }
}

#[test]
fn every_station_of_a_ready_kitchen_is_on_a_route() {
    for ReadyKitchen { name, plan, .. } in kitchens() {
        let steps = plan.products.values().flat_map(|product| &product.route);
        let passed: Vec<_> = steps.map(|step| &step.station).collect();
        for station in plan.stations.keys() {
            assert!(passed.contains(&station), "{name}: {station}");
        }
    }
}

#[test]
fn every_stock_of_a_ready_kitchen_is_drawn_on() {
    for ReadyKitchen { name, plan, .. } in kitchens() {
        let steps = plan.products.values().flat_map(|product| &product.route);
        let drawn: Vec<_> = steps.flat_map(|step| step.draws.keys()).collect();
        for supply in plan.supplies.keys() {
            assert!(drawn.contains(&supply), "{name}: {supply}");
        }
    }
}
