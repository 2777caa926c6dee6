//! What holds for every sequence of orders: random days, shrunk when they fail.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod kitchen;
mod look_back;
mod orders;

use kitchen::{START, plan};
use orders::{Step, orders};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use putby::day::time::Timestamp;
use putby::day::{self, Command, Event, Moment, Role, State};
use putby::engine::diff;
use serde_json::Value;
use uuid::Uuid;

/// Everything a played day leaves behind.
struct Played {
    state: State,
    records: Vec<(Timestamp, Uuid, Event)>,
}

/// Plays orders from the opening on and checks each of them as it goes.
fn play(steps: &[Step]) -> Result<Played, TestCaseError> {
    let mut played = Played {
        state: State::default(),
        records: Vec::new(),
    };
    let open = Command::OpenDay {
        plan: Box::new(plan()),
    };
    let mut now = START;
    give(&mut played, &open, now, 0)?;
    prop_assert!(!played.records.is_empty(), "the test kitchen is refused");
    for (number, step) in steps.iter().enumerate() {
        now = Timestamp(now.0 + step.later_ms);
        let number = u128::try_from(number).unwrap() + 1;
        let command = with_alarm_named(&played.state, &step.command);
        give(&mut played, &command, now, number)?;
    }
    Ok(played)
}

/// Random orders cannot know the key of an alarm: `first` is the first clock that runs.
fn with_alarm_named(state: &State, command: &Command) -> Command {
    match (command, state.alarms().next()) {
        (Command::TakeAlarm { alarm, helper }, Some(running)) if alarm == "first" => {
            Command::TakeAlarm {
                alarm: running.key(),
                helper: helper.clone(),
            }
        }
        _ => command.clone(),
    }
}

fn give(
    played: &mut Played,
    command: &Command,
    now: Timestamp,
    number: u128,
) -> Result<(), TestCaseError> {
    let moment = Moment {
        now,
        command: Uuid::from_u128(number + 1),
        role: Role::Lead,
    };
    let before = played.state.clone();
    match day::execute(&mut played.state, command, &moment) {
        Ok(events) => {
            let stamp = |event| (now, moment.command, event);
            played.records.extend(events.into_iter().map(stamp));
            played
                .state
                .check()
                .map_err(|fault| TestCaseError::fail(format!("after {command:?}: {fault}")))?;
        }
        Err(refusal) => {
            prop_assert_eq!(&before, &played.state, "a refusal changed the day");
            prop_assert!(!refusal.detail.is_empty() && !refusal.instead.is_empty());
        }
    }
    Ok(())
}

/// The old view with the patch is the new view, by a merge of another make than ours.
fn patch_says_the_view(before: &State, after: &State) -> Result<(), TestCaseError> {
    let old = serde_json::to_value(day::view(before)).unwrap();
    let new = serde_json::to_value(day::view(after)).unwrap();
    prop_assert!(has_no_null(&new), "the view holds a null");
    let mut patched = old.clone();
    json_patch::merge(&mut patched, &diff(&old, &new));
    prop_assert_eq!(patched, new);
    Ok(())
}

fn has_no_null(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Array(list) => list.iter().all(has_no_null),
        Value::Object(map) => map.values().all(has_no_null),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => true,
    }
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 256,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/properties/regressions.txt",
        ))),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    /// Balance at every station for every lot, nothing below nothing, nobody in two seats: all of
    /// `State::check`, after every order.
    #[test]
    fn invariants_hold_after_every_order(steps in orders(1..150)) {
        play(&steps)?;
    }

    #[test]
    fn the_view_and_its_patches_give_the_next_view(steps in orders(1..60)) {
        let played = play(&steps)?;
        let mut state = State::default();
        for (at, command, event) in &played.records {
            let before = state.clone();
            day::apply(&mut state, *at, *command, event);
            patch_says_the_view(&before, &state)?;
        }
    }

    #[test]
    fn replaying_the_events_gives_the_living_state(steps in orders(1..120)) {
        let played = play(&steps)?;
        let mut again = State::default();
        for (at, command, event) in &played.records {
            let stored = serde_json::to_string(event).unwrap();
            let read: Event = serde_json::from_str(&stored).unwrap();
            prop_assert_eq!(&read, event, "an event changes by being stored");
            day::apply(&mut again, *at, *command, &read);
        }
        prop_assert_eq!(&again, &played.state);
        let kept = serde_json::to_string(&played.state).unwrap();
        let snapshot: State = serde_json::from_str(&kept).unwrap();
        prop_assert_eq!(&snapshot, &played.state, "a snapshot changes the day");
    }

    /// Every prefix of the history is a sound day too, as after a power cut.
    #[test]
    fn every_prefix_of_commands_is_a_sound_day(steps in orders(1..60)) {
        let played = play(&steps)?;
        let mut again = State::default();
        for (index, (at, command, event)) in played.records.iter().enumerate() {
            day::apply(&mut again, *at, *command, event);
            let next = played.records.get(index + 1).map(|(_, command, _)| command);
            if next != Some(command) {
                prop_assert_eq!(again.check(), Ok(()));
            }
        }
    }

    /// What a closed day leaves can open the next, with nothing lost and no age forgotten.
    #[test]
    fn what_is_left_opens_the_next_day(steps in orders(1..80)) {
        let mut played = play(&steps)?;
        let moment = Moment {
            now: Timestamp(START.0 + 100_000 * 3_600_000),
            command: Uuid::from_u128(u128::MAX),
            role: Role::Lead,
        };
        if day::execute(&mut played.state, &Command::CloseDay {}, &moment).is_err() {
            return Ok(());
        }
        let left = day::leftovers(&played.state);
        let open = Command::OpenDay {
            plan: Box::new(day::plan_again(&played.state)),
        };
        let mut next = State::default();
        let opened = day::execute(&mut next, &open, &moment);
        prop_assert!(opened.is_ok(), "{:?}", opened);
        prop_assert_eq!(day::leftovers(&next), left);
        prop_assert_eq!(next.check(), Ok(()));
    }
}

/// The orders must reach the deep parts of the rules, or the properties say little.
#[test]
fn random_orders_reach_every_kind_of_event() {
    use proptest::strategy::{Strategy, ValueTree};
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..800 {
        let steps = orders(60..200).new_tree(&mut runner).unwrap().current();
        for (_, _, event) in play(&steps).unwrap().records {
            let json = serde_json::to_value(&event).unwrap();
            seen.insert(json["fact"].as_str().unwrap().to_owned());
        }
    }
    let missing: Vec<&&str> = kitchen::FACTS
        .iter()
        .filter(|fact| !seen.contains(**fact))
        .collect();
    assert!(missing.is_empty(), "never seen: {missing:?}");
}
