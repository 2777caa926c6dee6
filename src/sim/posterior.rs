//! What is known of a rate: a Gamma law, sharpened by services done and services under way.
//!
//! Closed forms throughout. Time is active minutes only; whoever calls leaves waiting and being
//! blocked out of it. Checked against published formulas: conjugacy of the Gamma law, power
//! discounting (West & Harrison 1989), a speed factor shared over stations (Gamma-Poisson with
//! exposure).

use statrs::distribution::{ContinuousCDF, Gamma};
use statrs::function::beta::checked_beta_reg;

/// A Gamma law of a rate per minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Posterior {
    /// Shape; grows with what was seen.
    pub shape: f64,
    /// Rate of the law, in minutes; the mean is `shape / rate`.
    pub rate: f64,
}

impl Posterior {
    /// The law with this mean (services a minute) and shape; the coefficient of variation is
    /// `1 / sqrt(shape)`.
    pub fn prior(mean: f64, shape: f64) -> Posterior {
        let rate = shape / mean;
        Posterior { shape, rate }
    }

    /// After `n` exponential services in `exposure` active minutes, those under way among them.
    pub fn seen(self, n: f64, exposure: f64) -> Posterior {
        self.seen_with_shape(1.0, n, exposure)
    }

    /// After `n` services of Gamma shape `k` that took `sum` active minutes together.
    pub fn seen_with_shape(self, k: f64, n: f64, sum: f64) -> Posterior {
        Posterior {
            shape: self.shape + k * n,
            rate: self.rate + k * sum,
        }
    }

    /// After a service of Gamma shape `k` has gone on for `age` active minutes and is not done.
    ///
    /// For `k = 1` this is conjugate. Else the law has no closed name, but its first two moments
    /// are ratios of incomplete beta functions: with `p = b / (b + k age)`, the `m`-th is
    /// `E[mu^m] I_p(a + m, k) / I_p(a, k)`. The Gamma law with these two moments is given.
    pub fn unfinished(self, k: f64, age: f64) -> Posterior {
        if age <= 0.0 {
            return self;
        }
        let (a, b) = (self.shape, self.rate);
        if k == 1.0 {
            return self.seen(0.0, age);
        }
        let p = b / (b + k * age);
        let survives = |shape: f64| checked_beta_reg(shape, k, p).unwrap_or(0.0);
        let alive = survives(a);
        let (first, second) = if alive > 1e-280 {
            (survives(a + 1.0) / alive, survives(a + 2.0) / alive)
        } else {
            // The limit for an age far beyond all that was expected: I_p(a, k) ~ p^a / (a B(a, k)).
            let first = p * (a + k) / (a + 1.0);
            (first, first * p * (a + 1.0 + k) / (a + 2.0))
        };
        let mean = a / b * first;
        let square = a * (a + 1.0) / (b * b) * second;
        let variance = square - mean * mean;
        if !(mean > 0.0 && variance > 0.0) {
            return self.seen(0.0, k * age);
        }
        Posterior {
            shape: mean * mean / variance,
            rate: mean / variance,
        }
    }

    /// Older evidence counts `delta` of what it did; the mean stays. One such step for each service
    /// remembers about `1 / (1 - delta)` of them.
    pub fn forget(self, delta: f64) -> Posterior {
        Posterior {
            shape: self.shape * delta,
            rate: self.rate * delta,
        }
    }

    /// The mean rate, services a minute.
    pub fn mean(self) -> f64 {
        self.shape / self.rate
    }

    /// The mean of the minutes of one service, `rate / (shape - 1)`; infinite if shape is not
    /// above 1.
    pub fn service_min(self) -> f64 {
        if self.shape > 1.0 {
            self.rate / (self.shape - 1.0)
        } else {
            f64::INFINITY
        }
    }

    /// The coefficient of variation.
    pub fn cv(self) -> f64 {
        self.shape.sqrt().recip()
    }

    /// The rate that is not exceeded with probability `p` (0 to 1); the mean if the law is broken.
    pub fn quantile(self, p: f64) -> f64 {
        // With rate 1, so that what the library's search takes for small does not depend on units.
        match Gamma::new(self.shape, 1.0) {
            Ok(law) => law.inverse_cdf(p.clamp(0.0, 1.0)) / self.rate,
            Err(_) => self.mean(),
        }
    }
}

/// A helper's speed against what others take for usual, from all the stations where they were seen:
/// each `(base, n, minutes)` is the usual rate there, services done and active minutes. The prior is
/// `Gamma(alpha, alpha)`, of mean 1; the rate expected elsewhere is the mean times the usual one.
pub fn helper_factor(alpha: f64, seen: &[(f64, f64, f64)]) -> Posterior {
    let prior = Posterior::prior(1.0, alpha);
    seen.iter().fold(prior, |law, (base, n, minutes)| {
        law.seen(*n, base * minutes)
    })
}
