//! What a move changes: the same draws with and without it.

use putby::sim::report::{self, Tally};

use super::cases::{assert_near, case};

/// The mean of the paired differences lies within four standard errors of the known one, its own
/// and the source's together.
fn change(id: &str) {
    let case = case(id);
    let before = super::cases::case(case.more["against"].as_str().unwrap()).task();
    let after = case.task();
    let runs = after.run.runs.unwrap();
    let [before, after] = [&before, &after].map(|task| report::finishes(task, runs, 1).unwrap());
    let mut paired = Tally::default();
    after
        .iter()
        .zip(&before)
        .for_each(|(after, before)| paired.add(after - before));
    let found = paired.estimate();
    let (mean, own) = (found.mean.unwrap(), found.std_error.unwrap());
    let error = own.hypot(case.number("std_error"));
    let change = case.number("change");
    println!("{id}: {mean:.4} +- {own:.4} for {change}");
    assert!(
        error < 0.15 * change.abs(),
        "{id}: the error {error} says too little"
    );
    assert_near(mean, change, 4.0 * error, id);
}

#[test]
fn edda_to_cooking_makes_the_day_longer() {
    change("DAY2a");
}

#[test]
fn two_moves_make_the_day_longer() {
    change("DAY2b");
}

#[test]
fn a_third_canner_makes_it_much_shorter() {
    change("DAY2c");
}

#[test]
fn a_third_canner_and_a_move_make_it_shorter_by_less() {
    change("DAY2d");
}

#[test]
fn the_short_load_first_makes_it_shorter_with_nobody_moved() {
    change("DAY2e");
}
