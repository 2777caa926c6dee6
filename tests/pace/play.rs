//! Helpers with known rates who work a day through the rules: whoever has work in front and room
//! behind takes a carrier, and taps it when it is done.

use crate::day::{Day, id};
use putby::day::time::Timestamp;
use rand_distr::{Distribution, Gamma};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;
use serde_json::json;
use std::collections::BTreeMap;

/// Somebody who works.
pub struct Worker {
    pub name: &'static str,
    pub station: &'static str,
    /// Carriers a minute.
    pub rate: f64,
    /// When the carrier in hand is done.
    done_at: Option<i64>,
}

impl Worker {
    pub fn new(name: &'static str, station: &'static str, rate: f64) -> Worker {
        Worker {
            name,
            station,
            rate,
            done_at: None,
        }
    }
}

/// How the day is played.
pub struct Game {
    /// The shape of services.
    pub shape: f64,
    /// Pounds that one carrier holds, for each station.
    pub holds: BTreeMap<&'static str, f64>,
    /// The most pounds that wait before each station; work goes on only into room.
    pub room: BTreeMap<&'static str, f64>,
    /// The station after each.
    pub after: BTreeMap<&'static str, &'static str>,
    pub dice: Xoshiro256PlusPlus,
}

impl Game {
    pub fn new(shape: f64, seed: u64) -> Game {
        Game {
            shape,
            holds: BTreeMap::from([("wash", 5.0), ("slice", 2.0), ("bag", 1.0)]),
            room: BTreeMap::new(),
            after: BTreeMap::from([("wash", "slice"), ("slice", "bag")]),
            dice: Xoshiro256PlusPlus::seed_from_u64(seed),
        }
    }

    pub fn gamma(&mut self, mean: f64, shape: f64) -> f64 {
        Gamma::new(shape, mean / shape)
            .unwrap()
            .sample(&mut self.dice)
    }

    /// Everybody takes a carrier who can.
    fn begin(&mut self, day: &Day, workers: &mut [Worker]) {
        for nth in 0..workers.len() {
            let (station, rate) = (workers[nth].station, workers[nth].rate);
            let name = workers[nth].name;
            let seat = day.state.helpers[&id(name)].station.as_ref();
            let is_here = seat.is_some_and(|seat| seat.as_str() == station);
            if workers[nth].done_at.is_some() || !is_here {
                continue;
            }
            let at = |station: &str| {
                let taken = workers
                    .iter()
                    .filter(|w| w.station == station && w.done_at.is_some());
                taken.count() as f64
            };
            let waits = |station: &str| {
                let amount = day.state.waiting_at(&id(station), &id("peaches"));
                amount.0 as f64 / 1000.0
            };
            let holds = self.holds[station];
            let free = waits(station) - at(station) * holds;
            let next = self.after.get(station).copied();
            let room = next.is_none_or(|next| {
                let room = self.room.get(next).copied().unwrap_or(f64::INFINITY);
                waits(next) + (at(station) + 1.0) * holds <= room
            });
            if free + 1e-6 >= holds && room {
                let minutes = self.gamma(1.0 / rate, self.shape);
                workers[nth].done_at = Some(day.now.0 + (minutes * 60_000.0).round() as i64);
            }
        }
    }

    /// They work until the moment.
    pub fn play(&mut self, day: &mut Day, workers: &mut [Worker], until: Timestamp) {
        loop {
            self.begin(day, workers);
            let first = workers
                .iter_mut()
                .filter(|worker| worker.done_at.is_some_and(|at| at <= until.0))
                .min_by_key(|worker| worker.done_at);
            let Some(worker) = first else {
                day.now = until;
                return;
            };
            day.now = Timestamp(worker.done_at.take().unwrap());
            let (name, station) = (worker.name, worker.station);
            day.does(json!({"order": "tally", "helper": name, "station": station,
                            "product": "peaches"}));
        }
    }

    /// They work so many minutes more.
    pub fn minutes(&mut self, day: &mut Day, workers: &mut [Worker], minutes: f64) {
        let until = Timestamp(day.now.0 + (minutes * 60_000.0) as i64);
        self.play(day, workers, until);
    }
}

/// Somebody leaves in the middle and lets the carrier be.
pub fn drop_carrier(workers: &mut [Worker], name: &str) {
    for worker in workers.iter_mut().filter(|worker| worker.name == name) {
        worker.done_at = None;
    }
}
