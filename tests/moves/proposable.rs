//! What could be proposed: all that the day allows, nothing that it would refuse, and nobody who
//! should be left alone.

use crate::house::{House, START, helper};
use putby::day::ids::HelperId;
use putby::day::plan::{Nature, Thickness};
use putby::day::state::{Phase, Presence, State};
use putby::day::time::{MINUTE_MS, Timestamp};
use putby::day::{Command, Moment, Role, apply, decide};
use putby::demo::play::play;
use putby::demo::{cast, day};
use putby::outlook::candidates::{Candidate, MINIMUM_STAY_MIN, candidates, has_nothing_to_do};
use serde_json::json;
use std::collections::BTreeSet;
use uuid::Uuid;

fn ids(candidates: &[Candidate]) -> BTreeSet<String> {
    candidates.iter().map(Candidate::id).collect()
}

fn names(house: &House) -> BTreeSet<String> {
    ids(&candidates(&house.state, house.now))
}

fn accepted(state: &State, now: Timestamp, command: &Command, role: Role) -> bool {
    let moment = Moment {
        now,
        command: Uuid::nil(),
        role,
    };
    decide(state, command, &moment).is_ok()
}

/// Whether the house says this helper should be left where they are, worked out anew.
fn left_alone(state: &State, now: Timestamp, id: &HelperId) -> bool {
    let who = &state.helpers[id];
    let Some(seat) = &who.station else {
        return state
            .pots_minded(id)
            .iter()
            .any(|(_, _, pot)| pot.thickness == Thickness::Thick);
    };
    let at = &state.stations[seat];
    let just_sat = now.ms_since(at.seats[id].since) < MINIMUM_STAY_MIN * MINUTE_MS;
    let minds = state.pots_minded(id);
    let pot_here = minds.iter().any(|(place, _, _)| *place == seat);
    let thick = minds
        .iter()
        .any(|(_, _, pot)| pot.thickness == Thickness::Thick);
    let hot = at.pots.values().any(|pot| {
        pot.batch
            .as_ref()
            .is_some_and(|batch| batch.cooking.is_some())
    }) || state.loads_at(seat).next().is_some();
    (just_sat && !has_nothing_to_do(state, id)) || pot_here || thick || (hot && at.seats.len() == 1)
}

/// Every claim and switch that the day accepts, with whom it accepts beside.
fn allowed(state: &State, now: Timestamp) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (who, found_helper) in &state.helpers {
        if found_helper.presence != Presence::Here || left_alone(state, now, who) {
            continue;
        }
        for (to, plan) in &state.stations {
            if !matches!(plan.plan.nature, Nature::Hand {}) {
                continue;
            }
            let besides = std::iter::once(None).chain(state.helpers.keys().cloned().map(Some));
            for beside in besides {
                let (helper, station) = (who.clone(), to.clone());
                let (command, name) = match &found_helper.station {
                    None => (
                        Command::Claim {
                            helper,
                            station,
                            beside,
                        },
                        format!("claim:{who}:{to}"),
                    ),
                    Some(from) => (
                        Command::Switch {
                            helper,
                            station,
                            beside,
                        },
                        format!("switch:{who}:{from}:{to}"),
                    ),
                };
                if accepted(state, now, &command, Role::Lead) {
                    found.insert(name);
                }
            }
        }
    }
    found
}

/// Over days played by the simulated family: all that is proposable is accepted by the day, by the
/// lead and by a helper, and leaves it sound; and every claim and switch that the day accepts of
/// somebody who may be asked is among it.
#[test]
fn proposable_is_what_the_day_accepts() {
    let (mut looked, mut claims, mut switches, mut swaps, mut with_adult) = (0, 0, 0, 0, 0);
    for seed in 1..=3 {
        let records = play(day(), &cast(), seed).records;
        let mut state = State::default();
        for (number, record) in records.iter().enumerate() {
            apply(&mut state, record.at, record.command, &record.event);
            // In the middle of a command's events the day is not whole.
            let next = records.get(number + 1).map(|next| next.command);
            if number % 37 != 0 || next == Some(record.command) || state.phase != Phase::Open {
                continue;
            }
            let now = Timestamp(record.at.0 + 30_000);
            let found = candidates(&state, now);
            let mut singles = BTreeSet::new();
            for candidate in &found {
                let command = candidate.command().unwrap();
                for role in [Role::Lead, Role::Helper] {
                    assert!(accepted(&state, now, &command, role), "{command:?}");
                }
                let mut after = state.clone();
                let moment = Moment {
                    now,
                    command: Uuid::nil(),
                    role: Role::Lead,
                };
                putby::day::execute(&mut after, &command, &moment).unwrap();
                assert_eq!(after.check(), Ok(()));
                for step in &candidate.steps {
                    assert_eq!(after.helpers[&step.helper].station.as_ref(), Some(&step.to));
                    assert_eq!(
                        after.stations[&step.to].seats[&step.helper].beside,
                        step.beside
                    );
                    with_adult += u32::from(step.beside.is_some());
                }
                let name = candidate.id();
                claims += u32::from(name.starts_with("claim"));
                switches += u32::from(name.starts_with("switch"));
                swaps += u32::from(name.starts_with("swap"));
                let rescued_early = candidate
                    .steps
                    .iter()
                    .any(|step| left_alone(&state, now, &step.helper));
                assert!(!rescued_early || candidate.rescues.is_some(), "{name}");
                if candidate.steps.len() == 1 && !rescued_early {
                    singles.insert(name);
                }
            }
            assert_eq!(singles, allowed(&state, now), "seed {seed}, event {number}");
            looked += 1;
        }
    }
    println!(
        "{looked} moments: {claims} claims, {switches} switches, {swaps} swaps, {with_adult} with an adult"
    );
    assert!(looked > 30 && claims > 20 && switches > 20 && swaps > 5 && with_adult > 5);
}

#[test]
fn limits_ages_and_seats_are_kept() {
    let mut house = House::open();
    let names = names(&house);
    // Eight years: no blade, no heat; washing with a grown-up beside. Juno with heat only beside one.
    assert!(names.contains("claim:wren:wash") && !names.contains("claim:wren:pare"));
    assert!(!names.contains("claim:wren:fill"));
    // Nobody is asked to sit at a pot or a canner, and nobody who is not here is asked at all.
    assert!(
        !names
            .iter()
            .any(|name| name.ends_with(":cook") || name.ends_with(":can"))
    );
    assert!(!names.iter().any(|name| name.contains("bo")));
    house.sit("osk", "strain");
    assert!(
        !self::names(&house).contains("claim:maren:strain"),
        "the only seat is taken"
    );
}

#[test]
fn a_child_goes_only_beside_somebody_who_can_watch() {
    let mut house = House::open();
    let beside = |house: &House| {
        let found = candidates(&house.state, house.now);
        let wren = found
            .into_iter()
            .find(|candidate| candidate.id() == "claim:wren:wash");
        wren.and_then(|candidate| candidate.steps[0].beside.clone())
    };
    house.sit("edda", "wash");
    assert_eq!(
        beside(&house),
        Some(helper("edda")),
        "who sits there is nearest"
    );
    house.orders(&[
        json!({"order": "leave", "helper": "edda"}),
        json!({"order": "take-break", "helper": "edda"}),
    ]);
    house.sit("maren", "fill");
    assert_eq!(
        beside(&house),
        Some(helper("osk")),
        "who sits with heat elsewhere cannot watch"
    );
    house.orders(&[json!({"order": "go-home", "helper": "osk"})]);
    assert_eq!(beside(&house), None);
    assert!(!names(&house).contains("claim:wren:wash"));
}

#[test]
fn who_sat_down_just_now_is_left_alone_unless_there_is_nothing_to_do() {
    let mut house = House::open();
    house.sit("osk", "pare");
    house.wait_min(14);
    assert!(!names(&house).iter().any(|name| name.contains("osk")));
    house.wait_min(1);
    assert!(names(&house).contains("switch:osk:pare:strain"));
    // Nothing waits at the strainer: who sits there may go at once.
    house.sit("maren", "strain");
    assert!(names(&house).contains("switch:maren:strain:pare"));
}

#[test]
fn a_rest_is_a_rest() {
    let mut house = House::open();
    house.orders(&[json!({"order": "take-break", "helper": "osk"})]);
    assert!(!names(&house).iter().any(|name| name.contains("osk")));
    house.orders(&[json!({"order": "end-break", "helper": "osk"})]);
    assert!(names(&house).contains("claim:osk:pare"));
}

#[test]
fn heat_is_never_left_alone() {
    let mut house = House::open();
    house.orders(&[
        json!({"order": "open-box", "lot": "hill", "product": "sauce"}),
        json!({"order": "claim", "helper": "maren", "station": "cook"}),
        json!({"order": "fill-pot", "station": "cook", "pot": "big", "product": "sauce", "amount": 10000}),
        json!({"order": "start-pot", "station": "cook", "pot": "big", "minder": "maren"}),
    ]);
    house.wait_min(20);
    assert!(!names(&house).iter().any(|name| name.contains("maren")));
    // Minded by another from elsewhere, the seat beside the pot is still the only one there.
    house.orders(&[
        json!({"order": "hand-over-pot", "station": "cook", "pot": "big", "minder": "osk"}),
    ]);
    assert!(!names(&house).iter().any(|name| name.contains("maren")));
    // A thin pot lets its minder go elsewhere; a thick one binds them wherever they sit.
    assert!(names(&house).contains("claim:osk:strain"));
    house.orders(&[
        json!({"order": "stirred", "station": "cook", "pot": "big", "thickness": "thick"}),
    ]);
    assert!(!names(&house).iter().any(|name| name.contains("osk")));
    house.orders(&[json!({"order": "pot-done", "station": "cook", "pot": "big"})]);
    let names = names(&house);
    assert!(names.contains("switch:maren:cook:strain") && names.contains("claim:osk:strain"));
}

#[test]
fn food_that_stands_calls_even_who_sat_down_just_now() {
    let mut house = House::open();
    // Pared pears wait at the filling, where nobody sits.
    house.sit("osk", "pare");
    house.orders(&[json!({"order": "tally", "station": "pare", "helper": "osk"})]);
    house.wait_min(85);
    house.sit("maren", "wash");
    house.orders(&[json!({"order": "open-box", "lot": "hill", "product": "halves"})]);
    let rescuing = |house: &House| {
        let found = candidates(&house.state, house.now);
        let maren = found
            .into_iter()
            .filter(|candidate| candidate.moves(&helper("maren")));
        let rescuing = maren.filter(|candidate| candidate.rescues.is_some());
        ids(&rescuing.collect::<Vec<_>>())
    };
    assert!(
        rescuing(&house).is_empty(),
        "85 minutes are not yet too long"
    );
    house.wait_min(6);
    assert_eq!(
        rescuing(&house),
        BTreeSet::from(["switch:maren:wash:fill".to_owned()])
    );
    let all = names(&house);
    assert!(!all.contains("switch:maren:wash:strain"), "only there");
    house.sit("edda", "fill");
    assert!(rescuing(&house).is_empty(), "somebody sees to it");
}

#[test]
fn likes_and_turns_at_the_knife_speak_for_a_change() {
    let mut house = House::open();
    let liking = |house: &House, id: &str| {
        let found = candidates(&house.state, house.now);
        found
            .into_iter()
            .find(|candidate| candidate.id() == id)
            .unwrap()
            .liking
    };
    assert_eq!(liking(&house, "claim:osk:strain"), 2);
    assert_eq!(liking(&house, "claim:maren:strain"), 0);
    house.sit("osk", "pare");
    house.sit("juno", "pare");
    for (minutes, turn) in [(20, 0), (10, 1), (15, 2)] {
        house.wait_min(minutes);
        assert_eq!(liking(&house, "switch:osk:pare:strain"), 2 + turn);
        assert_eq!(
            liking(&house, "switch:juno:pare:strain"),
            0,
            "turns are for adults"
        );
    }
}

#[test]
fn a_closed_day_has_no_moves() {
    let mut house = House::open();
    house.orders(&[json!({"order": "close-day"})]);
    assert!(names(&house).is_empty());
    assert!(candidates(&State::default(), START).is_empty());
}
