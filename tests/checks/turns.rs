//! Who does what and in which order: every order of turns of three helpers is tried.

use putby::sim::Simulator;
use putby::sim::format::Task;
use putby::sim::{Key, Until};

use super::cases::case;

/// Every order of so many turns at `one` and so many at `other`.
fn interleaved(one: (usize, usize), other: (usize, usize)) -> Vec<Vec<usize>> {
    let ((first, count), (second, more)) = (one, other);
    if count == 0 && more == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    if count > 0 {
        for mut rest in interleaved((first, count - 1), other) {
            rest.insert(0, first);
            all.push(rest);
        }
    }
    if more > 0 {
        for mut rest in interleaved(one, (second, more - 1)) {
            rest.insert(0, second);
            all.push(rest);
        }
    }
    all
}

/// Minutes of work in these turns.
fn minutes(task: &Task, helper: usize, turns: &[usize]) -> f64 {
    let rate = |stop: &usize| match task.network.helpers[helper].rates[*stop] {
        Some(putby::sim::Uncertain::Known(rate)) => rate,
        _ => panic!("no rate"),
    };
    turns.iter().map(|stop| 1.0 / rate(stop)).sum()
}

/// The best finish over all turns with the work parted so: `a` of the first step, `b` of the
/// second and `c` of the third to the first helper able to do it. Parts in which somebody has more
/// work than the best finish so far are left out: they cannot be better.
fn best_of(task: &mut Task, jobs: usize, parts: [usize; 3], best: &mut f64, tried: &mut u32) {
    let [a, b, c] = parts;
    let shares = [
        ((0, a), (2, c)),
        ((0, jobs - a), (1, b)),
        ((1, jobs - b), (2, jobs - c)),
    ];
    let all = shares.map(|(one, other)| interleaved(one, other));
    if (0..3).any(|helper| minutes(task, helper, &all[helper][0]) >= *best) {
        return;
    }
    for first in &all[0] {
        for second in &all[1] {
            for third in &all[2] {
                for (helper, turns) in [first, second, third].into_iter().enumerate() {
                    task.network.helpers[helper].turns.clone_from(turns);
                }
                let mut simulator = Simulator::new(&task.network).unwrap();
                let outcome = simulator.run(&task.start, Key { seed: 1, run: 0 }, Until::done());
                *tried += 1;
                // Turns that wait for each other leave work undone.
                if outcome.services_left == 0.0 {
                    *best = best.min(outcome.finish_min);
                }
            }
        }
    }
}

#[test]
fn the_best_of_all_turns_is_the_known_one() {
    let case = case("D7");
    let mut task = case.task();
    let jobs = case.number("jobs") as usize;
    let mut best = f64::INFINITY;
    let mut tried = 0;
    // Even parts first: they find a good finish early, and more can be left out.
    let middle = |count: usize| (2 * count).abs_diff(jobs);
    let mut counts: Vec<usize> = (0..=jobs).collect();
    counts.sort_by_key(|count| middle(*count));
    for a in &counts {
        for b in &counts {
            for c in &counts {
                best_of(&mut task, jobs, [*a, *b, *c], &mut best, &mut tried);
            }
        }
    }
    println!("{tried} orders of turns");
    assert!(tried > 10_000);
    super::cases::assert_near(best, case.number("best"), 1e-9, "D7");
}
