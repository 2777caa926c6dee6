//! A large invented kitchen: eight people, ten stations, two products that meet at the canners.

use crate::dice::Dice;
use crate::parts::{helper, station, stop};
use putby::outlook::compare::Seatings;
use putby::outlook::moves::seated;
use putby::sim::{Batches, Law, Network, Roaming, Start, Stop, Then, Uncertain, Works};

const BY_HAND: usize = 8;
const CANNER: usize = 8;
const RACK: usize = 9;
const PEOPLE: usize = 8;

pub struct LargeKitchen {
    pub network: Network,
    pub start: Start,
    pub seatings: Seatings,
}

impl LargeKitchen {
    /// Product 0 passes stations 0, 2, 4, 6; product 1 passes 1, 3, 5, 7; both are canned.
    pub fn random(seed: u64) -> LargeKitchen {
        let mut dice = Dice::new(seed);
        let mut network = Network {
            change_min: 1.0,
            classes: 2,
            roaming: Some(Roaming { after_min: 45.0 }),
            ..Network::default()
        };
        for _ in 0..BY_HAND {
            network.stations.push(station("table", Works::Hands, 3));
        }
        let canner = Batches {
            servers: 2,
            min_share: 1.0,
            first: Vec::new(),
            patience_min: None,
        };
        network
            .stations
            .push(station("canner", Works::Batches(canner), 0));
        network
            .stations
            .push(station("rack", Works::Servers(None), 0));
        for class in 0..2 {
            let first = network.stops.len();
            for (number, at) in (class..BY_HAND).step_by(2).enumerate() {
                let time = Law::Gamma {
                    mean: dice.between(1.5, 4.0),
                    shape: 3.0,
                };
                let then = Then::Go(first + number + 1);
                network.stops.push(Stop {
                    class,
                    ..stop(at, time, then)
                });
            }
            let cycle = Law::Sum(vec![
                Law::Gamma {
                    mean: 20.0,
                    shape: 16.0,
                },
                Law::Deterministic(20.0),
            ]);
            network.stops.push(Stop {
                class,
                fits: 7.0,
                group: class,
                ..stop(CANNER, cycle, Then::Go(first + 5))
            });
            network.stops.push(Stop {
                class,
                ..stop(RACK, Law::Deterministic(5.0), Then::Leave)
            });
        }
        for _ in 0..PEOPLE {
            let speed = dice.between(0.6, 1.4);
            let rates = (0..network.stops.len()).map(|_| {
                let shape = dice.between(6.0, 40.0);
                let mean = speed * dice.between(0.8, 1.2);
                let rate = shape / mean;
                dice.chance(0.85)
                    .then_some(Uncertain::Gamma { shape, rate })
            });
            let rates = rates.collect();
            network.helpers.push(helper("helper", rates));
        }
        let start = start(&mut dice, &network);
        let seatings = every_change(&network, &start);
        LargeKitchen {
            network,
            start,
            seatings,
        }
    }
}

fn start(dice: &mut Dice, network: &Network) -> Start {
    let mut start = Start {
        waiting: vec![Vec::new(); network.stops.len()],
        seats: vec![None; PEOPLE],
        ..Start::default()
    };
    for (number, stop) in network.stops.iter().enumerate() {
        let first = number == 0 || network.stops[number - 1].class != stop.class;
        if first {
            start.waiting[number].push((20.0 + dice.below(20) as f64, 0.0));
        } else if stop.station < BY_HAND {
            start.waiting[number].push((2.0 + dice.below(8) as f64, 0.0));
        }
    }
    // One at each table where they may be, as people would do.
    for who in 0..PEOPLE {
        let may = |to: &usize| may_work(network, who, *to);
        start.seats[who] = (0..BY_HAND).map(|at| (at + who) % BY_HAND).find(may);
    }
    start
}

fn may_work(network: &Network, who: usize, to: usize) -> bool {
    let stops = network.stops.iter().enumerate();
    let mut here = stops.filter(|(_, stop)| stop.station == to);
    here.any(|(number, _)| network.helpers[who].rates[number].is_some())
}

fn every_change(network: &Network, start: &Start) -> Seatings {
    let mut starts = Vec::new();
    let seat = |who: usize| start.seats[who];
    for who in 0..PEOPLE {
        for to in (0..BY_HAND).filter(|to| seat(who) != Some(*to) && may_work(network, who, *to)) {
            if start.seats.iter().filter(|at| **at == Some(to)).count() < 3 {
                starts.push(seated(network, start, &[(who, to)]));
            }
        }
        for other in who + 1..PEOPLE {
            if let (Some(one_at), Some(other_at)) = (seat(who), seat(other))
                && one_at != other_at
                && may_work(network, who, other_at)
                && may_work(network, other, one_at)
            {
                let steps = [(who, other_at), (other, one_at)];
                starts.push(seated(network, start, &steps));
            }
        }
    }
    Seatings {
        prices: vec![5.0; starts.len()],
        liked: Vec::new(),
        starts,
    }
}
