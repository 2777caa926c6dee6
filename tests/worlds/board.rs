//! (c) People who follow the board: every ten minutes they ask it and do what it proposes.

use crate::kitchen::Kitchen;
use crate::world::{Policy, World};
use putby::day::Command;
use putby::outlook::{Habits, Model, Move, Settings, Win, moves, wins};
use putby::pace::{Learned, Pace};
use std::collections::BTreeMap;

/// After a move that is made at once the board has looked again within seconds; so often at most.
const ROUNDS: u32 = 4;

/// Following the board.
pub struct Board {
    pub settings: Settings,
    pub asks_every_min: f64,
    /// Moves that were accepted, and the minutes they promised.
    pub accepted: Vec<(f64, String, f64)>,
    pub wins_taken: u32,
}

impl Board {
    pub fn new(settings: Settings, asks_every_min: f64) -> Board {
        Board {
            settings,
            asks_every_min,
            accepted: Vec::new(),
            wins_taken: 0,
        }
    }
}

impl Policy for Board {
    fn every_min(&self) -> f64 {
        self.asks_every_min
    }

    fn act(&mut self, world: &mut World<'_>) {
        for round in 0..ROUNDS {
            let now = world.moment();
            let pace = Pace::of(&world.records, &Learned::default(), now);
            let model = Model::of(&world.board, &pace, now, Habits::COMPARED);
            let said = moves::moves(&world.board, &model, now, &self.settings);
            if round == 0 {
                let last_box = BTreeMap::new();
                let free = wins::wins(&world.board, &pace, &model, &last_box, now, &self.settings);
                self.take(world, &free);
            }
            let Some(best) = said.moves.first() else {
                return;
            };
            self.accepted
                .push((world.minutes(), best.id.clone(), best.gain_min));
            accept(world, best);
            world.settle();
            // Who has a carrier in hand goes when it is done; until then there is nothing to ask.
            if world.hands.iter().any(|hand| hand.going.is_some()) {
                return;
            }
        }
    }
}

impl Board {
    fn take(&mut self, world: &mut World<'_>, free: &[Win]) {
        world.next_load = None;
        for win in free {
            match win {
                Win::ShortLoadFirst {
                    station,
                    product,
                    jars,
                    ..
                }
                | Win::StartNow {
                    station,
                    product,
                    jars,
                    ..
                }
                | Win::WaitFor {
                    station,
                    product,
                    jars,
                    ..
                } => {
                    if world.next_load.is_none() {
                        let stop = stop_of(world.kitchen, station, product);
                        world.next_load = stop.map(|stop| (stop, f64::from(*jars)));
                        self.wins_taken += 1;
                    }
                }
                Win::OpenBox { product, .. } => {
                    let made = world.kitchen.products.iter();
                    let place = made.map(|made| &made.id).position(|id| id == product);
                    if let Some(product) = place {
                        world.open_box(product);
                    }
                }
                // Water is hot here when the jars are; and every box is to be worked.
                Win::HeatWater { .. } | Win::StopBoxes { .. } => {}
                Win::Count {
                    station, product, ..
                } => {
                    if let Some(stop) = stop_of(world.kitchen, station, product) {
                        world.count_as_asked(stop);
                    }
                }
            }
        }
    }
}

/// The stop of a product at a station.
pub fn stop_of(
    kitchen: &Kitchen,
    station: &putby::day::ids::StationId,
    product: &putby::day::ids::ProductId,
) -> Option<usize> {
    let station = kitchen.station(station)?;
    let here = kitchen.stations[station].stops.iter();
    let is_it = |stop: &&usize| kitchen.products[kitchen.stops[**stop].product].id == *product;
    here.copied().find(|stop| is_it(&stop))
}

/// Everybody whom a move names goes there as soon as the carrier in hand is done.
fn accept(world: &mut World<'_>, wanted: &Move) {
    let command = match wanted.steps.as_slice() {
        [one, other] => Command::Swap {
            one: one.helper.clone(),
            other: other.helper.clone(),
            beside_one: one.beside.clone(),
            beside_other: other.beside.clone(),
        },
        [step] if step.from.is_none() => Command::Claim {
            helper: step.helper.clone(),
            station: step.to.clone(),
            beside: step.beside.clone(),
        },
        [step] => Command::Switch {
            helper: step.helper.clone(),
            station: step.to.clone(),
            beside: step.beside.clone(),
        },
        _ => return,
    };
    for step in &wanted.steps {
        if let Some(person) = world.kitchen.person(&step.helper) {
            world.hands[person].going = Some(command.clone());
        }
    }
}
