//! Loads of a canner when it is known when each jar is ready: every plan of loads is tried.

use putby::sim::format::Task;
use putby::sim::report;
use putby::sim::{Batches, Works};

use super::cases::{Case, case};

/// The finish with these loads first, and after them at least so many jars.
fn finish(task: &mut Task, loads: &[f64], least: f64) -> f64 {
    let stop = 0;
    match &mut task.network.stations[0].works {
        Works::Batches(batches) => {
            *batches = Batches {
                min_share: least / 7.0,
                first: loads.iter().map(|load| (stop, *load)).collect(),
                ..batches.clone()
            };
        }
        other => panic!("{other:?}"),
    }
    report::finishes(task, 1, 1).unwrap()[0]
}

/// Every way to part the jars into at most so many loads of at most seven.
fn plans(jars: usize, most_loads: usize) -> Vec<Vec<f64>> {
    if jars == 0 {
        return vec![Vec::new()];
    }
    if most_loads == 0 {
        return Vec::new();
    }
    let mut all = Vec::new();
    for load in 1..=jars.min(7) {
        for mut rest in plans(jars - load, most_loads - 1) {
            rest.insert(0, load as f64);
            all.push(rest);
        }
    }
    all
}

/// The rules of thumb end when they are known to, and the best plan is as good as it can be. More
/// loads than one a canner beyond the fewest never help: each takes the whole process time.
fn best_plan(case: &Case, canners: usize) {
    let mut task = case.task();
    assert_eq!(
        finish(&mut task, &[], 7.0),
        case.number("full_first"),
        "{}",
        case.id
    );
    assert_eq!(
        finish(&mut task, &[], 1.0),
        case.number("with_anything"),
        "{}",
        case.id
    );
    let jars = case.network.as_ref().unwrap()["arrivals"][0]["times"]
        .as_array()
        .unwrap()
        .len();
    let plans = plans(jars, jars.div_ceil(7) + canners);
    assert!(plans.len() > 100);
    let finishes = plans.iter().map(|plan| finish(&mut task, plan, 7.0));
    let best = finishes.fold(f64::INFINITY, f64::min);
    assert_eq!(best, case.number("best"), "{}", case.id);
    let short = case.number("short_load");
    assert_eq!(jars - (jars.div_ceil(7) - 1) * 7, short as usize);
    if let Some(known) = case.more.get("short_first") {
        assert_eq!(
            Some(finish(&mut task, &[short], 7.0)),
            known.as_f64(),
            "{}",
            case.id
        );
        assert_eq!(finish(&mut task, &case.numbers("best_loads"), 7.0), best);
    }
}

#[test]
fn one_canner_takes_the_short_load_first() {
    best_plan(case("D5"), 1);
}

#[test]
fn two_canners_have_a_best_plan_too() {
    best_plan(case("D6"), 2);
}
