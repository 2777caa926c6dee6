//! What is left of a service that has gone on for a while.

use super::law::unit;
use super::network::Law;
use rand::Rng;
use rand_distr::{Distribution, Exp1, Gamma, LogNormal, StandardNormal};

/// How often a fresh draw is tried before a way is taken that always ends.
const TRIES: usize = 32;

/// The same for sums, whose other way is not exact.
const TRIES_OF_SUMS: usize = 2_000;

/// The rest of a service of this law, given that it has lasted `age` and is not over; one draw.
/// All ways are exact but the last resort for sums, which is a gamma law of the same mean and
/// variance.
pub(super) fn rest(law: &Law, age: f64, stream: &mut impl Rng) -> f64 {
    match law {
        Law::Deterministic(minutes) => (minutes - age).max(0.0),
        Law::Exponential(mean) => {
            let fresh: f64 = Exp1.sample(stream);
            mean * fresh
        }
        Law::Gamma { mean, shape } => gamma(*mean, *shape, age, stream),
        Law::Lognormal { mean, cv } => lognormal(*mean, *cv, age, stream),
        Law::Empirical(values) => {
            let longer = values.iter().filter(|value| **value > age).count();
            let place = (unit(stream) * longer as f64).ceil() as usize;
            let mut rest = values.iter().filter(|value| **value > age);
            rest.nth(place.saturating_sub(1))
                .map_or(0.0, |value| value - age)
        }
        Law::Sequence(values) => values.first().map_or(0.0, |first| (first - age).max(0.0)),
        Law::Sum(parts) => {
            let draw = super::law::Draw::new(law);
            for _ in 0..TRIES_OF_SUMS {
                let whole = draw.draw(stream, 0);
                if whole > age {
                    return whole - age;
                }
            }
            let mean: f64 = parts.iter().map(Law::mean).sum();
            let variance: f64 = parts.iter().map(Law::variance).sum();
            if variance <= 0.0 {
                return (mean - age).max(0.0);
            }
            gamma(mean, mean * mean / variance, age, stream)
        }
    }
}

/// Up to the mean by fresh draws; beyond it, and for shapes below 1, by rejection from the
/// exponential law that touches the density at the age (log-concave densities: Devroye, 1986).
fn gamma(mean: f64, shape: f64, age: f64, stream: &mut impl Rng) -> f64 {
    let scale = mean / shape;
    if age <= mean {
        let Ok(law) = Gamma::new(shape, scale) else {
            return (mean - age).max(0.0);
        };
        loop {
            let whole = law.sample(stream);
            if whole > age {
                return whole - age;
            }
        }
    }
    let power = shape - 1.0;
    let slope = 1.0 / scale - power.max(0.0) / age;
    loop {
        let unit_rest: f64 = Exp1.sample(stream);
        let rest = unit_rest / slope;
        let grown = rest / age;
        let log_accept = if power >= 0.0 {
            power * (grown.ln_1p() - grown)
        } else {
            power * grown.ln_1p()
        };
        if unit(stream).ln() <= log_accept {
            return rest;
        }
    }
}

/// By fresh draws, then by the tail of the normal law (Robert, 1995).
fn lognormal(mean: f64, cv: f64, age: f64, stream: &mut impl Rng) -> f64 {
    let variance = (1.0 + cv * cv).ln();
    let (mu, sigma) = (mean.ln() - variance / 2.0, variance.sqrt());
    if let Ok(law) = LogNormal::new(mu, sigma) {
        for _ in 0..TRIES {
            let whole = law.sample(stream);
            if whole > age {
                return whole - age;
            }
        }
    }
    let from = (age.ln() - mu) / sigma;
    if sigma <= 0.0 || from <= 0.0 {
        // Chance alone brings a run here; the law above its age is then at least half of it.
        let normal: f64 = StandardNormal.sample(stream);
        return ((mu + sigma * normal.abs()).exp() - age).max(0.0);
    }
    let tilt = (from + (from * from + 4.0).sqrt()) / 2.0;
    loop {
        let step: f64 = Exp1.sample(stream);
        let normal = from + step / tilt;
        if unit(stream).ln() <= -(normal - tilt).powi(2) / 2.0 {
            return (mu + sigma * normal).exp() - age;
        }
    }
}
