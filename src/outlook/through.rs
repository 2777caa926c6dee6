//! Where work goes in the end, in the middle of what its yields may be: without time.

use crate::sim::{Network, Then, Uncertain};

/// What becomes of amounts at stops.
#[derive(Debug, Clone, PartialEq)]
pub struct Through {
    /// By stop: all that is there or comes there.
    pub at: Vec<f64>,
    /// By class: what leaves in the end.
    pub left: Vec<f64>,
    /// By supply: what is drawn on the way.
    pub drawn: Vec<f64>,
    /// By supply: what is fed.
    pub fed: Vec<f64>,
}

impl Through {
    /// Follows amounts at stops to their ends. Routes have no circles; if they had, it would stop
    /// after as many steps as there are stops.
    pub fn of(network: &Network, amounts: &[f64]) -> Through {
        let mut through = Through {
            at: amounts.to_vec(),
            left: vec![0.0; network.classes],
            drawn: vec![0.0; network.supplies.len()],
            fed: vec![0.0; network.supplies.len()],
        };
        let mut moving = amounts.to_vec();
        for _ in 0..network.stops.len() {
            if moving.iter().all(|amount| *amount <= 0.0) {
                break;
            }
            moving = through.one_step(network, &moving);
        }
        through
    }

    /// Follows so much at one stop to its ends.
    pub fn from_stop(network: &Network, stop: usize, amount: f64) -> Through {
        let mut amounts = vec![0.0; network.stops.len()];
        amounts[stop] = amount;
        Through::of(network, &amounts)
    }

    fn one_step(&mut self, network: &Network, moving: &[f64]) -> Vec<f64> {
        let mut next = vec![0.0; moving.len()];
        let busy = network
            .stops
            .iter()
            .zip(moving)
            .filter(|(_, amount)| **amount > 0.0);
        for (stop, amount) in busy {
            let made = amount * middle(&stop.yields);
            for (supply, each) in &stop.draws {
                self.drawn[*supply] += made * each;
            }
            match &stop.then {
                Then::Leave => self.left[stop.class] += made,
                Then::Go(to) => next[*to] += made,
                Then::Share(ways) => {
                    let all: f64 = ways.iter().map(|(weight, _)| weight).sum();
                    for (weight, to) in ways {
                        next[*to] += made * weight / all;
                    }
                }
                Then::Chance(ways) => {
                    for (chance, to) in ways {
                        match to {
                            Some(to) => next[*to] += made * chance,
                            None => self.left[stop.class] += made * chance,
                        }
                    }
                }
                Then::Feed(supply) => self.fed[*supply] += made,
            }
        }
        for (sum, amount) in self.at.iter_mut().zip(&next) {
            *sum += amount;
        }
        next
    }
}

/// The middle of what a number may be.
pub fn middle(number: &Uncertain) -> f64 {
    match number {
        Uncertain::Known(value) => *value,
        Uncertain::Gamma { shape, rate } => shape / rate,
        Uncertain::Lognormal { median, .. } => *median,
    }
}
