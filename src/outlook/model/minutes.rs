//! Spans as laws, and what is left of a span that has gone on for a while.

use crate::pace::Minutes;
use crate::sim::Law;
use statrs::function::erf::erfc;

/// A span as a law.
pub(super) fn law(minutes: Minutes) -> Law {
    let Minutes { mean, cv } = minutes;
    if !(mean > 0.0 && mean.is_finite()) {
        Law::Deterministic(0.0)
    } else if cv > 0.0 && cv.is_finite() {
        Law::Lognormal { mean, cv }
    } else {
        Law::Deterministic(mean)
    }
}

/// What is left of a lognormal span, given that it has lasted `age` minutes: mean and coefficient
/// of variation. Truncated moments of the lognormal law in closed form; far in the tail its mean
/// excess `age * sigma^2 / (ln age - mu)`.
pub(super) fn rest_of(span: Minutes, age: f64) -> Minutes {
    let Minutes { mean, cv } = span;
    if age.is_nan() || age <= 0.0 || mean.is_nan() || mean <= 0.0 {
        return span;
    }
    if cv.is_nan() || cv <= 0.0 {
        let mean = (mean - age).max(0.0);
        return Minutes { mean, cv: 0.0 };
    }
    let variance = cv.mul_add(cv, 1.0).ln();
    let sigma = variance.sqrt();
    let mu = mean.ln() - variance / 2.0;
    let z = (age.ln() - mu) / sigma;
    let alive = upper(z);
    if alive < 1e-7 {
        let mean = age * variance / (age.ln() - mu);
        return Minutes { mean, cv: 1.0 };
    }
    let first = mean * upper(z - sigma) / alive;
    let second = mean * mean * (1.0 + cv * cv) * upper(z - 2.0 * sigma) / alive;
    let left = (first - age).max(1e-6);
    let spread = (second - first * first).max(0.0).sqrt();
    Minutes {
        mean: left,
        cv: spread / left,
    }
}

/// The chance that a standard normal number is above `z`.
fn upper(z: f64) -> f64 {
    erfc(z / std::f64::consts::SQRT_2) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_distr::{Distribution, LogNormal};
    use rand_xoshiro::Xoshiro256PlusPlus;

    /// Against draws: mean and spread of what is left of those that lasted so long, within four
    /// standard errors of the mean and 3 % of the spread (its own error at this size is 1 %).
    #[test]
    fn what_is_left_is_that_of_the_draws_that_lasted_so_long() {
        let span = Minutes {
            mean: 25.0,
            cv: 0.25,
        };
        let variance = 1.0625_f64.ln();
        let law = LogNormal::new(25.0_f64.ln() - variance / 2.0, variance.sqrt()).expect("a law");
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(5);
        let draws: Vec<f64> = (0..200_000).map(|_| law.sample(&mut rng)).collect();
        for age in [5.0, 20.0, 30.0, 40.0] {
            let left: Vec<f64> = draws.iter().map(|x| x - age).filter(|x| *x > 0.0).collect();
            let n = left.len() as f64;
            let mean = left.iter().sum::<f64>() / n;
            let spread = (left.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n).sqrt();
            let told = rest_of(span, age);
            assert!(
                (told.mean - mean).abs() < 4.0 * spread / n.sqrt(),
                "{age}: {told:?} {mean}"
            );
            assert!(
                (told.cv * told.mean / spread - 1.0).abs() < 0.03 + 4.0 / n.sqrt(),
                "{age}: {told:?} {spread}"
            );
        }
    }

    #[test]
    fn a_span_far_overdue_has_little_but_something_left() {
        let span = Minutes {
            mean: 25.0,
            cv: 0.25,
        };
        for age in [80.0, 500.0, 1e6] {
            let told = rest_of(span, age);
            assert!(told.mean.is_finite() && told.mean > 0.0, "{age}: {told:?}");
        }
    }
}
