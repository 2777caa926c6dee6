//! Seeded choices for invented kitchens.

use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

pub struct Dice(Xoshiro256PlusPlus);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(Xoshiro256PlusPlus::seed_from_u64(seed))
    }

    /// One of the numbers below `sides`.
    pub fn below(&mut self, sides: usize) -> usize {
        self.0.random_range(0..sides)
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..high)
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.0.random_range(0.0..1.0) < share
    }
}
