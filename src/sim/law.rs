//! Drawing from the laws of a network.

use super::network::{Law, Uncertain};
use rand::Rng;
use rand_distr::{Distribution, Exp1, Gamma, LogNormal, StandardNormal};

/// Up to this shape a whole-numbered gamma law is drawn as a sum of exponentials: the logarithm of
/// a product of as many uniform numbers, which cannot underflow.
const LONGEST_PRODUCT: f64 = 6.0;

impl Law {
    /// The mean in minutes.
    pub fn mean(&self) -> f64 {
        match self {
            Law::Deterministic(mean) | Law::Exponential(mean) => *mean,
            Law::Gamma { mean, .. } | Law::Lognormal { mean, .. } => *mean,
            Law::Empirical(values) | Law::Sequence(values) => {
                values.iter().sum::<f64>() / values.len().max(1) as f64
            }
            Law::Sum(parts) => parts.iter().map(Law::mean).sum(),
        }
    }

    /// The variance in square minutes; of a sequence as if its order were random.
    pub fn variance(&self) -> f64 {
        match self {
            Law::Deterministic(_) => 0.0,
            Law::Exponential(mean) => mean * mean,
            Law::Gamma { mean, shape } => mean * mean / shape,
            Law::Lognormal { mean, cv } => (mean * cv).powi(2),
            Law::Empirical(values) | Law::Sequence(values) => {
                let mean = self.mean();
                let squares = values.iter().map(|value| (value - mean).powi(2));
                squares.sum::<f64>() / values.len().max(1) as f64
            }
            Law::Sum(parts) => parts.iter().map(Law::variance).sum(),
        }
    }
}

impl Uncertain {
    /// The mean.
    pub fn mean(&self) -> f64 {
        match self {
            Uncertain::Known(value) => *value,
            Uncertain::Gamma { shape, rate } => shape / rate,
            Uncertain::Lognormal { median, sigma } => median * (sigma * sigma / 2.0).exp(),
        }
    }

    /// One draw. A gamma law that was found valid cannot fail; a known value draws nothing.
    pub(super) fn draw(&self, stream: &mut impl Rng) -> f64 {
        match self {
            Uncertain::Known(value) => *value,
            Uncertain::Gamma { shape, rate } => {
                Gamma::new(*shape, 1.0 / rate).map_or(shape / rate, |gamma| gamma.sample(stream))
            }
            Uncertain::Lognormal { median, sigma } => {
                let normal: f64 = StandardNormal.sample(stream);
                median * (sigma * normal).exp()
            }
        }
    }
}

/// A law, ready to be drawn from.
#[derive(Debug, Clone)]
pub(super) enum Draw {
    Fixed(f64),
    Exponential(f64),
    Erlang { scale: f64, shape: u32 },
    Gamma(Gamma<f64>),
    Lognormal(LogNormal<f64>),
    Empirical(Vec<f64>),
    Sequence(Vec<f64>),
    Sum(Vec<Draw>),
}

impl Draw {
    /// Of a valid law; what cannot vary is fixed.
    pub(super) fn new(law: &Law) -> Draw {
        match law {
            Law::Deterministic(minutes) => Draw::Fixed(*minutes),
            Law::Exponential(mean) => Draw::Exponential(*mean),
            Law::Gamma { mean, shape } if *shape <= LONGEST_PRODUCT && shape.fract() == 0.0 => {
                Draw::Erlang {
                    scale: mean / shape,
                    shape: *shape as u32,
                }
            }
            Law::Gamma { mean, shape } => {
                Gamma::new(*shape, mean / shape).map_or(Draw::Fixed(*mean), Draw::Gamma)
            }
            Law::Lognormal { mean, cv } => {
                LogNormal::from_mean_cv(*mean, *cv).map_or(Draw::Fixed(*mean), Draw::Lognormal)
            }
            Law::Empirical(values) => Draw::Empirical(values.clone()),
            Law::Sequence(values) => Draw::Sequence(values.clone()),
            Law::Sum(parts) => Draw::sum(parts),
        }
    }

    fn sum(parts: &[Law]) -> Draw {
        let parts: Vec<Draw> = parts.iter().map(Draw::new).collect();
        let fixed = parts.iter().map(|part| match part {
            Draw::Fixed(minutes) => Some(*minutes),
            _ => None,
        });
        match fixed.sum::<Option<f64>>() {
            Some(minutes) => Draw::Fixed(minutes),
            None => Draw::Sum(parts),
        }
    }

    /// Several draws; `number` counts the draws before them.
    pub(super) fn fill<R: Rng + Clone>(&self, stream: &mut R, number: usize, to: &mut [f64]) {
        let Draw::Erlang { scale, shape } = self else {
            for (place, minutes) in to.iter_mut().enumerate() {
                *minutes = self.draw(stream, number + place);
            }
            return;
        };
        // Products first, then their logarithms: so the processor has several under way.
        let mut own = stream.clone();
        for minutes in to.iter_mut() {
            *minutes = product(&mut own, *shape);
        }
        *stream = own;
        for minutes in to.iter_mut() {
            *minutes = -scale * minutes.ln();
        }
    }

    /// One draw; `number` counts the draws before it.
    pub(super) fn draw(&self, stream: &mut impl Rng, number: usize) -> f64 {
        match self {
            Draw::Fixed(minutes) => *minutes,
            Draw::Exponential(mean) => {
                let unit: f64 = Exp1.sample(stream);
                mean * unit
            }
            Draw::Erlang { scale, shape } => -scale * product(stream, *shape).ln(),
            Draw::Gamma(gamma) => gamma.sample(stream),
            Draw::Lognormal(lognormal) => lognormal.sample(stream),
            Draw::Empirical(values) => {
                let place = (unit(stream) * values.len() as f64).ceil() as usize;
                values.get(place.saturating_sub(1)).copied().unwrap_or(0.0)
            }
            Draw::Sequence(values) => values[number % values.len()],
            Draw::Sum(parts) => parts.iter().map(|part| part.draw(stream, number)).sum(),
        }
    }
}

/// The product of so many uniform numbers.
#[inline(always)]
fn product(stream: &mut impl Rng, count: u32) -> f64 {
    let mut product = 1.0;
    for _ in 0..count / 2 {
        let (one, two) = two_units(stream);
        product *= one * two;
    }
    if count % 2 == 1 {
        product *= unit(stream);
    }
    product
}

/// Two uniform numbers above 0 and up to 1, of 32 bits each: fine enough where several are
/// multiplied.
#[inline(always)]
fn two_units(stream: &mut impl Rng) -> (f64, f64) {
    const STEP: f64 = 1.0 / 4_294_967_296.0;
    let bits = stream.next_u64();
    let one = (f64::from(bits as u32) + 1.0) * STEP;
    let two = (f64::from((bits >> 32) as u32) + 1.0) * STEP;
    (one, two)
}

/// Uniform above 0 and up to 1.
#[inline]
pub(super) fn unit(stream: &mut impl Rng) -> f64 {
    ((stream.next_u64() >> 11) + 1) as f64 * (1.0 / 9_007_199_254_740_992.0)
}
