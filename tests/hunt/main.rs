//! Hunts what nobody thought of: seeded runs of the real deciding, writing and showing with devices,
//! a network and a disk that fail, in one thread and without real time.
//!
//! A run that fails names its seed; `SEED=n cargo test --test hunt -- one_seed --ignored --nocapture`
//! runs it again.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod board;
mod device;
mod dice;
mod disk;
#[allow(dead_code, reason = "random days use more of it")]
#[path = "../properties/kitchen.rs"]
mod kitchen;
#[path = "../properties/orders.rs"]
mod orders;
mod plan;
mod process;
mod replays;
mod same_as_browser;
mod targets;
mod truth;
mod world;

use plan::Planner;
use world::{Outcome, World};

/// How many seeds are run where nobody says otherwise.
const SEEDS: u64 = 100;

fn from_environment(name: &str) -> Option<u64> {
    std::env::var(name).ok().map(|said| said.parse().unwrap())
}

fn run(planner: &Planner, seed: u64) -> Outcome {
    let plan = planner.plan(seed);
    let mut world = World::new(&plan, false);
    world
        .run()
        .unwrap_or_else(|broken| panic!("seed {seed}: {broken}"))
}

/// Seeds that once found a fault.
#[test]
fn what_was_found_stays_mended() {
    let planner = Planner::new();
    let lines = include_str!("../../fixtures/hunt/seeds").lines();
    for line in lines.filter(|line| !line.starts_with('#')) {
        let (seed, _) = line.split_once('\t').unwrap();
        run(&planner, seed.parse().unwrap());
    }
}

#[test]
fn nothing_is_lost_doubled_or_stuck_whatever_fails() {
    let planner = Planner::new();
    for seed in 0..SEEDS {
        run(&planner, seed);
    }
}

#[test]
#[ignore = "for the hand: one seed, told"]
fn one_seed() {
    let seed = from_environment("SEED").expect("SEED=n says which");
    let plan = Planner::new().plan(seed);
    println!("{plan:#?}");
    let mut world = World::new(&plan, false);
    world.told = true;
    println!("{:?}", world.run());
}

/// `SEEDS=100000 cargo test --release --test hunt -- many_seeds --ignored --nocapture`
#[test]
#[ignore = "for the hand: as many seeds as wanted"]
fn many_seeds() {
    let first = from_environment("FIRST").unwrap_or(1000);
    let count = from_environment("SEEDS").unwrap_or(10_000);
    let planner = Planner::new();
    let (mut found, mut slowest) = (Vec::new(), 0);
    for seed in first..first + count {
        let plan = planner.plan(seed);
        match World::new(&plan, false).run() {
            Ok(outcome) => slowest = slowest.max(outcome.calm_after_ms),
            Err(broken) => {
                println!("seed {seed}: {broken}");
                found.push(seed);
            }
        }
        if (seed - first + 1).is_multiple_of(10_000) {
            println!(
                "{} seeds, calm after {slowest} ms at most",
                seed - first + 1
            );
        }
    }
    assert!(
        found.is_empty(),
        "{} of {count} seeds: {found:?}",
        found.len()
    );
    println!("{count} seeds from {first}, calm after {slowest} ms at most");
}
