//! Draws by name: the same seed, place and number always give the same value, whoever asks first.
//! So two worlds of one seed that differ in who sits where share every hidden draw.

use rand::SeedableRng;
use rand_distr::{Distribution, Exp, Gamma, LogNormal, Normal, Uniform};
use rand_xoshiro::Xoshiro256PlusPlus;

/// What a draw is for; part of its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum For {
    Kitchen = 1,
    Person,
    Pair,
    Yield,
    Service,
    Tap,
    Heat,
    Pot,
    Rest,
    Lead,
    Walk,
}

/// A stream of its own for everything that has a name.
pub fn stream(seed: u64, purpose: For, place: u64, number: u64) -> Xoshiro256PlusPlus {
    let mut name = 0;
    for part in [seed, purpose as u64, place, number] {
        name = mixed(name ^ part.wrapping_add(0x9E37_79B9_7F4A_7C15));
    }
    Xoshiro256PlusPlus::seed_from_u64(name)
}

/// The finaliser of SplitMix64 (Steele, Lea, Flood 2014): every bit of the name counts.
fn mixed(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

pub fn between(rng: &mut Xoshiro256PlusPlus, low: f64, high: f64) -> f64 {
    Uniform::new(low, high).expect("a range").sample(rng)
}

/// A whole number from `low` to `high`, both among them.
pub fn whole(rng: &mut Xoshiro256PlusPlus, low: u32, high: u32) -> u32 {
    Uniform::new_inclusive(low, high)
        .expect("a range")
        .sample(rng)
}

pub fn chance(rng: &mut Xoshiro256PlusPlus, share: f64) -> bool {
    between(rng, 0.0, 1.0) < share
}

pub fn one_of<'a, T>(rng: &mut Xoshiro256PlusPlus, list: &'a [T]) -> &'a T {
    let last = u32::try_from(list.len()).expect("a short list") - 1;
    &list[whole(rng, 0, last) as usize]
}

pub fn normal(rng: &mut Xoshiro256PlusPlus) -> f64 {
    Normal::new(0.0, 1.0).expect("a law").sample(rng)
}

pub fn waiting(rng: &mut Xoshiro256PlusPlus, mean: f64) -> f64 {
    Exp::new(mean.recip()).expect("a law").sample(rng)
}

/// A span with this mean and coefficient of variation, gamma.
pub fn gamma(rng: &mut Xoshiro256PlusPlus, mean: f64, cv: f64) -> f64 {
    let shape = (cv * cv).recip();
    Gamma::new(shape, mean / shape).expect("a law").sample(rng)
}

/// A span with this mean and coefficient of variation, lognormal.
pub fn lognormal(rng: &mut Xoshiro256PlusPlus, mean: f64, cv: f64) -> f64 {
    LogNormal::from_mean_cv(mean, cv)
        .expect("a law")
        .sample(rng)
}
