//! What nobody in the kitchen knows: how fast each really is, what the fruit really gives, how long
//! heat really takes. All of it drawn by name, so it does not depend on what people decide.

use crate::draw::{For, between, chance, gamma, lognormal, normal, stream, waiting, whole};
use crate::kitchen::{Kitchen, an_hour};

/// The hidden side of a kitchen.
#[derive(Debug, Clone)]
pub struct Truth {
    seed: u64,
    /// Carriers a minute of each person at each stop; 0 where no hands work.
    pub rates: Vec<Vec<f64>>,
    /// Coefficient of variation of a service.
    pub service_cv: f64,
    /// What comes of a unit at each stop, in units of the next.
    pub yields: Vec<f64>,
    /// How fast this stove is: a factor on heating.
    stove: f64,
}

/// How a finished carrier is told to the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Told {
    AtOnce,
    /// So many minutes later.
    Late(f64),
    /// With the next one.
    WithNext,
}

/// The published range of what a quart takes: 25 % less to 20 % more; its middle eight tenths.
const YIELD_SIGMA: f64 = 0.18;
const YIELD_RANGE: (f64, f64) = (0.75, 1.2);

impl Truth {
    pub fn of(kitchen: &Kitchen) -> Truth {
        let seed = kitchen.seed;
        let mut rng = stream(seed, For::Kitchen, 1, 0);
        let sigma = between(&mut rng, 0.2, 0.5);
        let service_cv = between(&mut rng, 0.3, 0.6);
        let stove = between(&mut rng, 0.9, 1.1);
        let people = kitchen.people.iter().enumerate();
        let rates = people.map(|(number, person)| {
            let mut rng = stream(seed, For::Person, number as u64, 0);
            let own = normal(&mut rng);
            let rate = |stop: usize| {
                let station = kitchen.stops[stop].station as u64;
                let pair = normal(&mut stream(seed, For::Pair, number as u64, station));
                // Half of the spread is the person, half the person at this work.
                let factor = (sigma * (own + pair) / 2.0_f64.sqrt()).exp();
                an_hour(&kitchen.stops[stop], person.age) / 60.0 * factor
            };
            (0..kitchen.stops.len()).map(rate).collect()
        });
        Truth {
            seed,
            rates: rates.collect(),
            service_cv,
            yields: yields(kitchen),
            stove,
        }
    }

    /// The n-th service at a stop against the usual, whoever does it: mean 1.
    pub fn service(&self, stop: usize, number: u64) -> f64 {
        let mut rng = stream(self.seed, For::Service, stop as u64, number);
        gamma(&mut rng, 1.0, self.service_cv)
    }

    /// How the n-th carrier of a stop is tapped.
    pub fn told(&self, stop: usize, number: u64) -> Told {
        let mut rng = stream(self.seed, For::Tap, stop as u64, number);
        if chance(&mut rng, 0.8) {
            Told::AtOnce
        } else if chance(&mut rng, 0.6) {
            Told::Late(waiting(&mut rng, 2.0))
        } else {
            Told::WithNext
        }
    }

    /// Minutes of loading, heating and of rest with unloading of the n-th load of a canner.
    pub fn load(&self, canner: usize, number: u64) -> [f64; 3] {
        let mut rng = stream(self.seed, For::Heat, canner as u64, number);
        let loading = lognormal(&mut rng, 5.0, 0.4);
        let heating = between(&mut rng, 20.0, 30.0) * self.stove;
        let after = lognormal(&mut rng, 10.0, 0.3);
        [loading, heating, after]
    }

    /// Minutes the n-th pot stands cooking, and minutes to wash it.
    pub fn pot(&self, pot: usize, number: u64, cook_min: u32) -> (f64, f64) {
        let mut rng = stream(self.seed, For::Pot, pot as u64, number);
        let minutes = (f64::from(cook_min) + 5.0) * self.stove;
        (
            lognormal(&mut rng, minutes, 0.15),
            between(&mut rng, 1.0, 3.0),
        )
    }

    /// Minutes of work before the n-th rest of somebody, and minutes of it.
    pub fn rest(&self, person: usize, age: u8, number: u64) -> (f64, f64) {
        let mut rng = stream(self.seed, For::Rest, person as u64, number);
        let usual = match age {
            18.. => 120.0,
            13..=17 => 90.0,
            0..=12 => 60.0,
        };
        let first = if number == 0 { 0.5 } else { 0.7 };
        (
            usual * between(&mut rng, first, 1.3),
            gamma(&mut rng, 12.0, 0.35),
        )
    }

    /// Minutes from one seat to another.
    pub fn walk(&self, person: usize, number: u64) -> f64 {
        between(
            &mut stream(self.seed, For::Walk, person as u64, number),
            0.5,
            1.5,
        )
    }

    /// Minutes until somebody sees to something: a box to open, heat to turn off.
    pub fn notice(&self, what: u64, number: u64) -> f64 {
        between(&mut stream(self.seed, For::Lead, what, number), 0.2, 1.5)
    }

    /// A whole number for the morning: minutes between the first people sitting down.
    pub fn stagger(&self, person: usize) -> f64 {
        f64::from(whole(
            &mut stream(self.seed, For::Walk, person as u64, u64::MAX),
            0,
            3,
        ))
    }
}

/// What is not sure on a route is within the published range, shared by its steps.
fn yields(kitchen: &Kitchen) -> Vec<f64> {
    let mut yields = Vec::new();
    for (product, made) in kitchen.products.iter().enumerate() {
        let mut rng = stream(kitchen.seed, For::Yield, product as u64, 0);
        let unsure = made
            .route
            .stages
            .iter()
            .filter(|stage| stage.unsure)
            .count() as f64;
        let factors = loop {
            let draw: Vec<f64> = made
                .route
                .stages
                .iter()
                .map(|stage| {
                    let z = normal(&mut rng);
                    if stage.unsure {
                        (YIELD_SIGMA / unsure.sqrt() * z).exp()
                    } else {
                        1.0
                    }
                })
                .collect();
            let all: f64 = draw.iter().product();
            if (YIELD_RANGE.0..=YIELD_RANGE.1).contains(&all) {
                break draw;
            }
        };
        for (stage, factor) in made.route.stages.iter().zip(factors) {
            yields.push(stage.yields.0 as f64 / stage.yields.1 as f64 * factor);
        }
    }
    yields
}
