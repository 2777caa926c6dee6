//! Bands of the finish when a rate is fixed at its estimate, against the true ones.

use putby::sim::report;
use statrs::distribution::{ContinuousCDF, Gamma};

use super::cases::{Case, assert_near, case};

/// The time of so many exponential services at this rate that is not exceeded with probability `p`.
fn fixed_rate(services: f64, rate: f64, p: f64) -> f64 {
    // The library's search is good to about nine digits.
    Gamma::new(services, 1.0).unwrap().inverse_cdf(p) / rate
}

fn finishes(case: &Case) -> Vec<f64> {
    let task = case.task();
    let runs = task.run.runs.unwrap();
    report::finishes(&task, runs, task.run.seed.unwrap()).unwrap()
}

/// How often the band that calls itself 80 % holds the finish, with the rate drawn from what is
/// known: four binomial standard errors from the exact share.
#[test]
fn a_band_with_the_rate_fixed_holds_too_seldom() {
    for id in ["C1", "C2", "C3"] {
        let case = case(id);
        let (seen, to_come) = (case.number("seen"), case.number("to_come"));
        let band = [0.1, 0.9].map(|p| fixed_rate(to_come, seen, p));
        let finishes = finishes(case);
        let held = finishes
            .iter()
            .filter(|at| **at >= band[0] && **at <= band[1])
            .count();
        let runs = finishes.len() as f64;
        let share = held as f64 / runs;
        let coverage = case.number("coverage");
        let error = (coverage * (1.0 - coverage) / runs).sqrt();
        assert_near(share, coverage, 4.0 * error, id);
    }
}

/// The band with the rate fixed is the known one, and the simulated one is wider both ways.
#[test]
fn the_drawn_rate_gives_the_wider_band() {
    let case = case("F3");
    let mut finishes = finishes(case);
    finishes.sort_by(f64::total_cmp);
    let narrow = &case.more["too_narrow"];
    for (name, p) in [("p10", 0.1), ("p90", 0.9)] {
        let fixed = fixed_rate(20.0, 10.0 / 30.0, p);
        assert_near(fixed, narrow[name].as_f64().unwrap(), 1e-6 * fixed, "F3");
        let drawn = finishes[(p * finishes.len() as f64) as usize];
        let is_wider = if p < 0.5 {
            drawn < fixed
        } else {
            drawn > fixed
        };
        assert!(is_wider, "{name}: {drawn} against {fixed}");
    }
}
