//! What is proposed on a live day: from the state and the pace its people have shown.

use crate::house::House;
use putby::day::state::{Phase, State};
use putby::day::time::Timestamp;
use putby::day::{Moment, Record, Role, apply, execute};
use putby::demo::play::play;
use putby::demo::{cast, day};
use putby::outlook::bound::pace_against_best;
use putby::outlook::boxes::last_boxes;
use putby::outlook::candidates::candidates;
use putby::outlook::choices::choices;
use putby::outlook::compare::Kitchen;
use putby::outlook::depth::depth_min;
use putby::outlook::moves::{Moves, moves};
use putby::outlook::wins::wins;
use putby::outlook::{Habits, Model, Settings, Stay, Why, Win};
use putby::pace::{Learned, Pace};
use serde_json::json;
use uuid::Uuid;

/// Fewer days than a server would spend: these tests run unoptimized.
fn settings() -> Settings {
    Settings {
        compare_runs: 60,
        ..Settings::default()
    }
}

fn model(records: &[Record], state: &State, now: Timestamp) -> Model {
    let pace = Pace::of(records, &Learned::default(), now);
    Model::of(state, &pace, now, Habits::COMPARED)
}

fn proposed(house: &House) -> Moves {
    let model = model(&house.records, &house.state, house.now);
    moves(&house.state, &model, house.now, &settings())
}

/// Over days played by the simulated family: what is proposed is one of the candidates, the day
/// accepts it, it gains what is promised, and there is a reason where nothing is proposed. The
/// least minutes are never above those of the forecast.
#[test]
fn proposals_of_played_days_are_ones_the_day_accepts() {
    let (mut looked, mut moved) = (0, 0);
    for seed in 1..=2 {
        let records = play(day(), &cast(), seed).records;
        let mut state = State::default();
        for (number, record) in records.iter().enumerate() {
            apply(&mut state, record.at, record.command, &record.event);
            let next = records.get(number + 1).map(|next| next.command);
            if number % 50 != 49 || next == Some(record.command) || state.phase != Phase::Open {
                continue;
            }
            let now = Timestamp(record.at.0 + 20_000);
            let model = model(&records[..=number], &state, now);
            let Moves { moves, stay } = moves(&state, &model, now, &settings());
            assert_eq!(
                moves.is_empty(),
                stay.is_some(),
                "seed {seed}, event {number}"
            );
            for found in &moves {
                let same = candidates(&state, now)
                    .into_iter()
                    .find(|candidate| candidate.id() == found.id);
                let candidate = same.unwrap_or_else(|| panic!("{} is no candidate", found.id));
                assert_eq!(candidate.steps, found.steps);
                let moment = Moment {
                    now,
                    command: Uuid::nil(),
                    role: Role::Lead,
                };
                execute(&mut state.clone(), &candidate.command().unwrap(), &moment).unwrap();
                let rescues = matches!(found.why, Why::Stands { .. });
                assert!(
                    found.gain_min >= if rescues { -5.0 } else { 5.0 },
                    "{found:?}"
                );
                assert!((0.0..=1.0).contains(&found.sure));
                moved += 1;
                println!(
                    "seed {seed}, event {number}: {} gains {:.1} in {:.0} %, {:?}",
                    found.id,
                    found.gain_min,
                    100.0 * found.sure,
                    found.why
                );
            }
            let finish = |day: &_| model.finish_of(day);
            let mut kitchen =
                Kitchen::of_seats(&model.network, vec![model.start.clone()], &finish, 1).unwrap();
            let days: Vec<f64> = (0..30).map(|day| kitchen.finish(0, day)).collect();
            let mean = days.iter().sum::<f64>() / days.len() as f64;
            if let Some(pace) = pace_against_best(&model, mean) {
                assert!(pace.best_min <= pace.now_min && pace.share <= 1.0);
            }
            if let Some(stay) = stay {
                println!("seed {seed}, event {number}: {stay:?}");
            }
            looked += 1;
        }
    }
    println!("{moved} moves at {looked} moments");
    assert!(looked >= 15 && moved >= 1);
}

/// Pears wait to be pared and nobody pares; some who sit have nothing to do.
fn nobody_pares() -> House {
    let mut house = House::open();
    house.orders(&[
        json!({"order": "open-box", "lot": "hill", "product": "halves", "amount": 20000}),
    ]);
    house.sit("maren", "wash");
    house.sit("osk", "strain");
    house.sit("edda", "fill");
    house.wait_min(20);
    house
}

/// Whoever has nothing to do is asked, not who works.
#[test]
fn who_has_nothing_to_do_is_asked_first() {
    let house = nobody_pares();
    let found = proposed(&house);
    let best = &found.moves[0];
    assert_eq!(best.steps.len(), 1, "{best:?}");
    assert_eq!(best.steps[0].to.as_str(), "pare", "{best:?}");
    assert!(best.gain_min > 5.0 && best.sure > 0.6, "{best:?}");
}

#[test]
fn a_move_set_aside_is_not_proposed_again() {
    let mut house = nobody_pares();
    let first = proposed(&house).moves[0].clone();
    let gain_min = first.gain_min.round() as u32;
    house.orders(&[json!({"order": "set-aside-move", "move": first.id, "gain_min": gain_min})]);
    let again = proposed(&house);
    assert!(
        again.moves.iter().all(|found| found.id != first.id),
        "{again:?}"
    );
}

#[test]
fn nothing_left_is_the_end() {
    let mut house = House::open_without_fruit();
    house.sit("osk", "pare");
    let found = proposed(&house);
    assert_eq!(found.stay, Some(Stay::Finished {}), "{found:?}");
    assert_eq!(wins_of(&house), []);
}

/// The first station is dry and boxes are closed: open one. Nothing waits at the canner for long.
#[test]
fn a_box_is_opened_when_the_first_station_is_dry() {
    let mut house = House::open();
    house.sit("maren", "wash");
    let opens = |house: &House| {
        let is_open =
            |win: &Win| matches!(win, Win::OpenBox { dry_in_min, .. } if *dry_in_min < 1.0);
        wins_of(house).iter().any(is_open)
    };
    assert!(opens(&house), "{:?}", wins_of(&house));
    house.orders(&[json!({"order": "open-box", "lot": "hill", "product": "halves"})]);
    assert!(!opens(&house));
}

/// Where nobody sits nobody needs a box; hands that wait need one, not one of each lot.
#[test]
fn one_box_is_opened_where_hands_wait_for_it() {
    let mut house = House::open();
    let to_open = |house: &House| {
        let is_open = |win: &&Win| matches!(win, Win::OpenBox { .. });
        wins_of(house).iter().filter(is_open).count()
    };
    assert_eq!(to_open(&house), 0, "{:?}", wins_of(&house));
    house.sit("maren", "wash");
    assert_eq!(to_open(&house), 1, "{:?}", wins_of(&house));
}

/// After a cut-off that is too near no box is worth opening.
#[test]
fn no_box_is_opened_that_would_not_be_done_in_time() {
    let mut house = House::open();
    house.sit("maren", "wash");
    let cut_off_at = house.now.plus_minutes(30).0;
    house.orders(&[json!({"order": "change-day", "cut_off_at": cut_off_at})]);
    let wins = wins_of(&house);
    assert!(
        wins.iter().any(|win| matches!(win, Win::StopBoxes { .. })),
        "{wins:?}"
    );
    assert!(
        !wins.iter().any(|win| matches!(win, Win::OpenBox { .. })),
        "{wins:?}"
    );
}

fn wins_of(house: &House) -> Vec<Win> {
    let model = model(&house.records, &house.state, house.now);
    let pace = Pace::of(&house.records, &Learned::default(), house.now);
    let last = last_boxes(&model, &house.state, &settings());
    wins(&house.state, &pace, &model, &last, house.now, &settings())
}

#[test]
fn with_nobody_free_nobody_is_asked() {
    let mut house = House::open();
    for who in ["maren", "osk", "edda", "juno", "wren"] {
        house.orders(&[json!({"order": "take-break", "helper": who})]);
    }
    let found = proposed(&house);
    assert_eq!(found.stay, Some(Stay::NobodyMay {}), "{found:?}");
}

#[test]
fn the_same_moment_gives_the_same_moves() {
    let mut house = House::open();
    house.sit("osk", "strain");
    house.wait_min(20);
    assert_eq!(proposed(&house), proposed(&house));
}

#[test]
fn a_helper_sees_first_where_nobody_is() {
    let mut house = House::open();
    house.orders(&[
        json!({"order": "open-box", "lot": "hill", "product": "halves", "amount": 20000}),
    ]);
    house.sit("maren", "wash");
    let model = model(&house.records, &house.state, house.now);
    let depth = depth_min(&model, &house.state);
    let of = |who: &str| {
        choices(
            &house.state,
            &model,
            &depth,
            house.now,
            &crate::house::helper(who),
        )
    };
    let osk = of("osk");
    assert_eq!(osk[0].station.as_str(), "pare", "{osk:?}");
    assert!(osk[0].needs_hands && osk[0].waiting_min > 1.0 && osk.len() == 4);
    let strain = osk
        .iter()
        .find(|choice| choice.station.as_str() == "strain")
        .unwrap();
    assert!(strain.likes && !strain.needs_hands);
    let wren = of("wren");
    let stations: Vec<_> = wren
        .iter()
        .map(|choice| (choice.station.as_str(), choice.with_adult))
        .collect();
    assert_eq!(
        stations,
        [("wash", true), ("strain", false)],
        "no blade, no heat at eight"
    );
}

/// What was cooked down by a yield of the book may be more or less: a count tells, once.
#[test]
fn a_count_is_asked_for_where_much_hangs_on_a_yield_nobody_measured() {
    let counted = |house: &House| {
        let wins = wins_of(house).into_iter();
        let at = wins.filter_map(|win| match win {
            Win::Count {
                station, product, ..
            } => Some((station.to_string(), product.to_string())),
            _ => None,
        });
        at.collect::<Vec<_>>()
    };
    let mut house = House::open();
    assert_eq!(counted(&house), [], "nothing has come by a yield yet");
    house.orders(&[
        json!({"order": "open-box", "lot": "hill", "product": "sauce"}),
        json!({"order": "open-box", "lot": "hill", "product": "sauce"}),
    ]);
    house.sit("maren", "cook");
    house.sit("osk", "strain");
    for _ in 0..4 {
        house.orders(&[
            json!({"order": "fill-pot", "station": "cook", "pot": "big", "product": "sauce"}),
            json!({"order": "start-pot", "station": "cook", "pot": "big", "minder": "maren"}),
        ]);
        house.wait_min(30);
        house.orders(&[json!({"order": "pot-done", "station": "cook", "pot": "big"})]);
        let chores = house.state.chores.iter();
        let open = chores.filter(|(_, chore)| chore.finished_at.is_none());
        let open: Vec<_> = open.map(|(id, _)| id.clone()).collect();
        for chore in open {
            house.orders(&[json!({"order": "finish-chore", "chore": chore})]);
        }
    }
    assert_eq!(counted(&house), [("strain".into(), "sauce".into())]);
    house.orders(&[
        json!({"order": "recount", "station": "strain", "product": "sauce", "lot": "hill", "amount": 17_000}),
    ]);
    assert_eq!(counted(&house), [], "it is counted now");
}
