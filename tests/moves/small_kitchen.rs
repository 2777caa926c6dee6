//! Invented small kitchens: a line of two to four stations, two to four people, a short stock.

use crate::dice::Dice;
use crate::parts::{helper, station, stop};
use putby::outlook::compare::Seatings;
use putby::outlook::moves::seated;
use putby::sim::{Batches, Helper, Law, Network, Start, Stop, Then, Uncertain, Works};

/// Minutes that a change of seats takes.
const CHANGE_MIN: f64 = 1.0;
/// The least gain for a proposal.
pub const LEAST_GAIN_MIN: f64 = 5.0;

pub struct SmallKitchen {
    pub network: Network,
    pub start: Start,
    /// Every single change and swap.
    pub seatings: Seatings,
}

/// How much is left to chance.
#[derive(Clone, Copy, PartialEq)]
pub enum Chance {
    /// Rates are known as well as after a few carriers, services vary.
    Usual,
    /// Nothing.
    None,
}

impl SmallKitchen {
    pub fn random(seed: u64, chance: Chance) -> SmallKitchen {
        let mut dice = Dice::new(seed);
        let by_hand = 2 + dice.below(3);
        let has_canner = by_hand < 4 && dice.chance(0.4);
        let people = 2 + dice.below(3);
        let stops = by_hand + usize::from(has_canner);
        let mut network = Network {
            change_min: CHANGE_MIN,
            classes: 1,
            ..Network::default()
        };
        for at in 0..stops {
            let then = if at + 1 < stops {
                Then::Go(at + 1)
            } else {
                Then::Leave
            };
            if at < by_hand {
                let seats = 1 + u32::try_from(dice.below(2)).unwrap();
                network.stations.push(station("table", Works::Hands, seats));
                let mean = dice.between(1.5, 5.0);
                let time = match chance {
                    Chance::Usual => Law::Gamma { mean, shape: 4.0 },
                    Chance::None => Law::Deterministic(mean),
                };
                network.stops.push(stop(at, time, then));
            } else {
                let canner = Batches {
                    servers: 1,
                    min_share: 1.0,
                    first: Vec::new(),
                    patience_min: None,
                };
                network
                    .stations
                    .push(station("canner", Works::Batches(canner), 0));
                let time = Law::Deterministic(dice.between(8.0, 20.0));
                network.stops.push(Stop {
                    fits: 7.0,
                    ..stop(at, time, then)
                });
            }
        }
        for who in 0..people {
            let person = person(&mut dice, who, (by_hand, stops), chance);
            network.helpers.push(person);
        }
        let start = start(&mut dice, &network, by_hand);
        let seatings = seatings(&network, &start, by_hand);
        SmallKitchen {
            network,
            start,
            seatings,
        }
    }
}

fn person(dice: &mut Dice, who: usize, (by_hand, stops): (usize, usize), chance: Chance) -> Helper {
    let speed = dice.between(0.6, 1.4);
    let rates = (0..stops).map(|at| {
        // The first may do anything, so that no work is nobody's.
        let may = at < by_hand && (who == 0 || dice.chance(0.85));
        let mean = speed * dice.between(0.8, 1.2);
        let shape = dice.between(6.0, 40.0);
        may.then_some(match chance {
            Chance::Usual => Uncertain::Gamma {
                shape,
                rate: shape / mean,
            },
            Chance::None => Uncertain::Known(mean),
        })
    });
    helper("helper", rates.collect())
}

fn start(dice: &mut Dice, network: &Network, by_hand: usize) -> Start {
    let mut start = Start {
        waiting: vec![Vec::new(); network.stops.len()],
        seats: vec![None; network.helpers.len()],
        ..Start::default()
    };
    start.waiting[0].push((8.0 + dice.below(13) as f64, 0.0));
    for waiting in &mut start.waiting[1..by_hand] {
        if dice.chance(0.6) {
            waiting.push((1.0 + dice.below(8) as f64, 0.0));
        }
    }
    // Mostly people have spread over the tables as they would; now and then anyhow, or not at all.
    let spread = dice.chance(0.7);
    for who in 0..network.helpers.len() {
        let to = if spread {
            let empty = |to: &usize| {
                !start.seats.contains(&Some(*to)) && may_sit(network, &start, who, *to)
            };
            (0..by_hand)
                .find(empty)
                .unwrap_or_else(|| dice.below(by_hand))
        } else {
            dice.below(by_hand)
        };
        if dice.chance(0.9) && may_sit(network, &start, who, to) {
            start.seats[who] = Some(to);
        }
    }
    start
}

fn may_sit(network: &Network, start: &Start, who: usize, to: usize) -> bool {
    let taken = start.seats.iter().filter(|seat| **seat == Some(to)).count();
    taken < network.stations[to].seats as usize && network.helpers[who].rates[to].is_some()
}

fn seatings(network: &Network, start: &Start, by_hand: usize) -> Seatings {
    let mut starts = Vec::new();
    for who in 0..network.helpers.len() {
        for to in 0..by_hand {
            if start.seats[who] != Some(to) && may_sit(network, start, who, to) {
                starts.push(seated(network, start, &[(who, to)]));
            }
        }
    }
    for one in 0..network.helpers.len() {
        for other in one + 1..network.helpers.len() {
            let (Some(at_one), Some(at_other)) = (start.seats[one], start.seats[other]) else {
                continue;
            };
            let may = |who: usize, to: usize| network.helpers[who].rates[to].is_some();
            if at_one != at_other && may(one, at_other) && may(other, at_one) {
                starts.push(seated(network, start, &[(one, at_other), (other, at_one)]));
            }
        }
    }
    Seatings {
        prices: vec![LEAST_GAIN_MIN; starts.len()],
        liked: vec![0; starts.len()],
        starts,
    }
}
