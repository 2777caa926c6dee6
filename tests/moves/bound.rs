//! The linear programmes against published and independently solved cases.
//!
//! The cases and their optima stand in `cases.json`, each with its source; they were solved with
//! HiGHS through SciPy. Splits and duals may differ where several are best, so what is checked of
//! them is that the split is possible and reaches the optimum, and that the duals prove it.

use putby::outlook::bound::{
    Capacity, Line, NoBound, Remaining, WorkLeft, capacity, remaining, whole_helpers,
};
use putby::outlook::compare::effort;
use serde::Deserialize;

/// The tolerance stated with the cases.
const CLOSE: f64 = 1e-6;

#[derive(Deserialize)]
struct Case {
    id: String,
    inputs: Inputs,
    expected: Expected,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Inputs {
    mu: Vec<Vec<f64>>,
    v: Vec<f64>,
    station_cap: Vec<Option<f64>>,
    machine_rate: Vec<Option<f64>>,
    #[serde(rename = "R")]
    work: Vec<f64>,
    machine_left: Vec<Option<f64>>,
    means: Vec<f64>,
    sds: Vec<f64>,
    #[serde(rename = "N")]
    budget: f64,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Expected {
    capacity: f64,
    #[serde(rename = "T")]
    minutes: f64,
    enumerated: u64,
    n_optimal: u64,
    an_optimal_assignment: Vec<usize>,
    allocation: Vec<f64>,
}

fn case(id: &str) -> Case {
    let cases: Vec<Case> = serde_json::from_str(include_str!("cases.json")).unwrap();
    cases.into_iter().find(|case| case.id == id).unwrap()
}

fn line(case: &Case) -> Line {
    Line {
        rates: case.inputs.mu.clone(),
        visits: case.inputs.v.clone(),
        room: case.inputs.station_cap.clone(),
        machine: case.inputs.machine_rate.clone(),
    }
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= CLOSE
}

/// The split is possible and gives every station its jobs.
fn assert_split(id: &str, line: &Line, best: &Capacity) {
    for shares in &best.split {
        assert!(
            shares.iter().sum::<f64>() <= 1.0 + CLOSE,
            "{id}: {shares:?}"
        );
    }
    for station in 0..line.rates[0].len() {
        let hands = || best.split.iter().zip(&line.rates);
        let work: f64 = hands()
            .map(|(shares, rates)| shares[station] * rates[station])
            .sum();
        let visits = line.visits.get(station).copied().unwrap_or(1.0);
        let may = line.rates.iter().any(|rates| rates[station] > 0.0);
        assert!(
            !may || work >= best.per_min * visits - CLOSE,
            "{id}: station {station} gets {work}"
        );
        let here: f64 = hands().map(|(shares, _)| shares[station]).sum();
        let room = line
            .room
            .get(station)
            .copied()
            .flatten()
            .unwrap_or(f64::INFINITY);
        assert!(here <= room + CLOSE, "{id}: {here} at station {station}");
    }
}

/// Strong duality: prices of people, room and machines that no split can beat add up to the optimum.
fn assert_duals(id: &str, line: &Line, best: &Capacity) {
    let limits = |limits: &[Option<f64>], duals: &[f64]| -> f64 {
        let priced = limits.iter().zip(duals);
        priced
            .map(|(limit, dual)| limit.unwrap_or(0.0) * dual)
            .sum()
    };
    let people: f64 = best.helper_dual.iter().sum();
    let value =
        people + limits(&line.room, &best.room_dual) + limits(&line.machine, &best.machine_dual);
    assert!(
        close(value, best.per_min),
        "{id}: the duals are worth {value}"
    );
    for (rates, dual) in line.rates.iter().zip(&best.helper_dual) {
        for (station, rate) in rates.iter().enumerate().filter(|(_, rate)| **rate > 0.0) {
            let pays = rate * best.station_dual[station] - best.room_dual[station];
            assert!(
                pays <= dual + CLOSE,
                "{id}: station {station} pays {pays}, more than {dual}"
            );
        }
    }
    let visits = |station: usize| line.visits.get(station).copied().unwrap_or(1.0);
    let both = best.station_dual.iter().zip(&best.machine_dual).enumerate();
    let jobs: f64 = both
        .map(|(station, (hands, machine))| visits(station) * (hands + machine))
        .sum();
    assert!(jobs >= 1.0 - CLOSE, "{id}: a job is worth {jobs}");
}

#[test]
fn capacity_of_flexible_servers_is_that_of_the_published_programme() {
    for id in ["L1", "L2", "L3", "L4", "L5"] {
        let case = case(id);
        let line = line(&case);
        let best = capacity(&line).unwrap();
        assert!(
            close(best.per_min, case.expected.capacity),
            "{id}: {}",
            best.per_min
        );
        assert_split(id, &line, &best);
        assert_duals(id, &line, &best);
    }
}

/// By hand: helper 1 stays at station 1 with rate 4; helper 0 gives `x` to station 0, and
/// `5 x = 4 + 1 (1 - x)` makes `x = 5/6`.
#[test]
fn two_by_two_is_as_worked_out_by_hand() {
    let best = capacity(&line(&case("L1"))).unwrap();
    assert!(close(best.per_min, 25.0 / 6.0));
    assert!(close(best.split[0][0], 5.0 / 6.0) && close(best.split[1][1], 1.0));
}

/// Generalists (every rate a person's speed times a station's): the capacity is the sum of speeds
/// over the sum of times, whoever stands where (Andradóttir, Ayhan and Down 2001).
#[test]
fn generalists_reach_the_closed_form() {
    let best = capacity(&line(&case("L2"))).unwrap();
    assert!(close(best.per_min, 3.0 / (1.0 / 2.0 + 1.0 + 1.0 / 4.0)));
}

#[test]
fn where_the_canner_binds_no_helper_is_worth_anything() {
    let best = capacity(&line(&case("L4"))).unwrap();
    assert!(
        best.helper_dual.iter().all(|dual| dual.abs() <= CLOSE),
        "{best:?}"
    );
    assert!(close(best.machine_dual[5], 1.0), "{best:?}");
    let hands = Line {
        machine: Vec::new(),
        ..line(&case("L4"))
    };
    let best = capacity(&hands).unwrap();
    assert!(best.helper_dual.iter().any(|dual| *dual > 0.01), "{best:?}");
}

/// What one more of something gains is what its dual says, as long as little is added.
#[test]
fn duals_are_gains() {
    let base = line(&case("L3"));
    let best = capacity(&base).unwrap();
    let mut roomier = base.clone();
    roomier.room[2] = Some(1.01);
    let gained = capacity(&roomier).unwrap().per_min - best.per_min;
    assert!((gained - 0.01 * best.room_dual[2]).abs() < 1e-5, "{gained}");
}

fn work(case: &Case) -> WorkLeft {
    let machines = case.inputs.machine_left.iter().flatten();
    WorkLeft {
        rates: case.inputs.mu.clone(),
        units: case.inputs.work.clone(),
        machine_min: machines.copied().fold(0.0, f64::max),
        ..WorkLeft::default()
    }
}

fn assert_remaining(id: &str, work: &WorkLeft, left: &Remaining) {
    for spans in &left.split {
        assert!(spans.iter().sum::<f64>() <= left.minutes + CLOSE, "{id}");
    }
    for (place, units) in work.units.iter().enumerate() {
        let hands = left.split.iter().zip(&work.rates);
        let done: f64 = hands
            .map(|(spans, rates)| spans[place] * rates[place])
            .sum();
        assert!(done >= units - CLOSE, "{id}: {done} of {units} at {place}");
    }
}

#[test]
fn work_left_takes_the_minutes_of_the_machine_or_of_the_hands() {
    for id in ["L6", "L7"] {
        let case = case(id);
        let work = work(&case);
        let left = remaining(&work).unwrap();
        assert!(
            close(left.minutes, case.expected.minutes),
            "{id}: {}",
            left.minutes
        );
        assert_remaining(id, &work, &left);
        let by_machine = id == "L6";
        assert_eq!(
            left.helper_dual.iter().all(|dual| dual.abs() < CLOSE),
            by_machine,
            "{id}"
        );
        assert_eq!(close(left.machine_dual, 1.0), by_machine, "{id}");
    }
}

#[test]
fn whole_helpers_are_placed_best_by_trying_all_ways() {
    let case = case("L8");
    let whole = whole_helpers(&case.inputs.mu, &[]).unwrap();
    assert!(close(whole.per_min, case.expected.capacity), "{whole:?}");
    assert_eq!(whole.tried, case.expected.enumerated);
    assert_eq!(whole.best, case.expected.n_optimal);
    assert_eq!(whole.places, case.expected.an_optimal_assignment);
    // People who may be split do at least as well.
    assert!(capacity(&line(&case)).unwrap().per_min >= whole.per_min - CLOSE);
    let many = vec![vec![1.0; 10]; 10];
    assert_eq!(
        whole_helpers(&many, &[]),
        Err(NoBound::TooMany(10_u128.pow(10)))
    );
}

/// Shares a budget of simulations so that the best of several independent means is most likely
/// found (Chen, Lin, Yücesan and Chick, "Simulation budget allocation for further enhancing the
/// efficiency of ordinal optimization", 2000): `N_i / N_j = ((s_i/d_i) / (s_j/d_j))^2` with `d` the
/// distance to the smallest mean, and for that `N_b = s_b * sqrt(sum N_i^2 / s_i^2)`.
fn allocation(means: &[f64], deviations: &[f64], budget: f64) -> Vec<f64> {
    let smallest = means.iter().copied().fold(f64::INFINITY, f64::min);
    let Some(best) = means.iter().position(|mean| *mean <= smallest) else {
        return Vec::new();
    };
    let mut weights: Vec<f64> = means
        .iter()
        .zip(deviations)
        .map(|(mean, deviation)| effort(*deviation, mean - smallest))
        .collect();
    weights[best] = 0.0;
    let squares = weights.iter().zip(deviations).map(|(weight, deviation)| {
        if *deviation > 0.0 {
            (weight / deviation).powi(2)
        } else {
            0.0
        }
    });
    weights[best] = deviations[best] * squares.sum::<f64>().sqrt();
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|weight| budget * weight / sum).collect()
}

#[test]
fn simulations_are_shared_out_as_published() {
    let case = case("O1");
    let shares = allocation(&case.inputs.means, &case.inputs.sds, case.inputs.budget);
    for (share, expected) in shares.iter().zip(&case.expected.allocation) {
        assert!((share / expected - 1.0).abs() < CLOSE, "{shares:?}");
    }
    assert!(close(shares.iter().sum(), case.inputs.budget));
}
