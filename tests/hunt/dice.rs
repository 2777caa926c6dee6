//! Seeded choices: the only source of chance in a simulated run.

use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use uuid::Uuid;

pub struct Dice(Xoshiro256PlusPlus);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(Xoshiro256PlusPlus::seed_from_u64(seed))
    }

    /// One of the numbers from `low` to `high`.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0.random_range(low..=high)
    }

    /// One of the places of a list that long.
    pub fn place(&mut self, length: usize) -> usize {
        self.0.random_range(0..length)
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// A number from 0 to below 1.
    pub fn share(&mut self) -> f64 {
        self.0.random_range(0.0..1.0)
    }

    /// An id as a device makes it: a UUID of version 4.
    pub fn id(&mut self) -> Uuid {
        uuid::Builder::from_random_bytes(self.0.random()).into_uuid()
    }
}
