//! When nothing waits any more: the work as a fluid, minute by minute, with everybody where they
//! sit.
//!
//! Means only; pots and canners give their contents at the end of their mean cycles.

use super::seated_rate;
use crate::outlook::model::Model;
use crate::outlook::through::middle;
use crate::sim::{Busy, Stop, Then, Works};

/// So far is looked ahead, in minutes.
const AHEAD_MIN: usize = 480;
/// Less than this part of a carrier is nothing.
const NOTHING: f64 = 0.5;

/// By station: minutes until nothing waits there. `None` when nothing waits now or it never runs
/// out within eight hours.
pub fn dry_in_min(model: &Model) -> Vec<Option<f64>> {
    let mut fluid = Fluid::of(model);
    let waits_now: Vec<bool> = carriers(model, &fluid.waits)
        .iter()
        .map(|n| *n >= NOTHING)
        .collect();
    let mut dry: Vec<Option<f64>> = vec![None; waits_now.len()];
    for minute in 1..=AHEAD_MIN {
        fluid.one_minute(minute as f64);
        for (station, carriers) in carriers(model, &fluid.waits).into_iter().enumerate() {
            if waits_now[station] && dry[station].is_none() && carriers < NOTHING {
                dry[station] = Some(minute as f64);
            }
        }
    }
    dry
}

/// Carriers that wait, by station.
fn carriers(model: &Model, waits: &[f64]) -> Vec<f64> {
    let mut carriers = vec![0.0; model.network.stations.len()];
    for (stop, waits) in model.network.stops.iter().zip(waits) {
        carriers[stop.station] += waits / stop.carrier;
    }
    carriers
}

struct Fluid<'a> {
    model: &'a Model,
    waits: Vec<f64>,
    /// When something last came, by stop.
    came: Vec<f64>,
    rates: Vec<f64>,
    /// Batches under way: when they end, their stop, what is in them.
    batches: Vec<(f64, usize, f64)>,
}

impl<'a> Fluid<'a> {
    fn of(model: &'a Model) -> Fluid<'a> {
        let stops = 0..model.network.stops.len();
        let batch = |busy: &Busy| {
            let stop = &model.network.stops[busy.stop];
            let mean = stop.time.mean();
            // What is overdue may end at any moment.
            let left = busy.left_min.unwrap_or((mean - busy.age_min).max(1.0));
            busy.helper
                .is_none()
                .then_some((left, busy.stop, busy.amount))
        };
        let mut fluid = Fluid {
            model,
            waits: stops.clone().map(|stop| model.open_at(stop)).collect(),
            came: vec![0.0; model.network.stops.len()],
            rates: stops.map(|stop| seated_rate(model, stop)).collect(),
            batches: model.start.busy.iter().filter_map(batch).collect(),
        };
        // What people hold is theirs to finish.
        for busy in model.start.busy.iter().filter(|busy| busy.helper.is_some()) {
            fluid.waits[busy.stop] += busy.amount;
        }
        fluid
    }

    fn one_minute(&mut self, now: f64) {
        let mut made: Vec<(usize, f64)> = Vec::new();
        for station in 0..self.model.network.stations.len() {
            match &self.model.network.stations[station].works {
                Works::Hands => self.by_hand(station, &mut made),
                Works::Batches(batches) => {
                    let places = batches.servers as usize;
                    let rule = (batches.min_share, batches.patience_min.unwrap_or(60.0));
                    self.put_on(station, now, places, rule);
                }
                Works::Servers(_) => self.at_once(station, &mut made),
            }
        }
        let (done, on): (Vec<_>, Vec<_>) = self.batches.iter().partition(|(end, ..)| *end <= now);
        self.batches = on;
        made.extend(done.into_iter().map(|(_, stop, amount)| (stop, amount)));
        for (stop, amount) in made {
            self.pass_on(now, stop, amount);
        }
    }

    fn stops_at(&self, station: usize) -> impl Iterator<Item = (usize, &'a Stop)> + use<'a> {
        let stops = self.model.network.stops.iter().enumerate();
        stops.filter(move |(_, stop)| stop.station == station)
    }

    fn by_hand(&mut self, station: usize, made: &mut Vec<(usize, f64)>) {
        let minutes = |fluid: &Fluid<'_>, number: usize, stop: &Stop| {
            let rate = fluid.rates[number];
            if rate > 0.0 {
                fluid.waits[number] / stop.carrier / rate
            } else {
                0.0
            }
        };
        let all: f64 = self
            .stops_at(station)
            .map(|(n, stop)| minutes(self, n, stop))
            .sum();
        if all <= 0.0 {
            return;
        }
        let part = (1.0 / all).min(1.0);
        for (number, _) in self.stops_at(station) {
            if self.rates[number] > 0.0 {
                let taken = self.waits[number] * part;
                self.waits[number] -= taken;
                made.push((number, taken));
            }
        }
    }

    fn put_on(&mut self, station: usize, now: f64, places: usize, (share, patience): (f64, f64)) {
        for (number, stop) in self.stops_at(station) {
            let busy = self.batches.iter();
            let mut free = places.saturating_sub(
                busy.filter(|(_, of, _)| self.model.network.stops[*of].station == station)
                    .count(),
            );
            let enough = |waits: f64, came: f64| {
                let waited = now - came >= patience && waits >= NOTHING * stop.carrier;
                waits > 0.0 && (waits >= share * stop.fits - 1e-6 || waited)
            };
            while free > 0 && enough(self.waits[number], self.came[number]) {
                let amount = self.waits[number].min(stop.fits);
                self.waits[number] -= amount;
                self.batches.push((now + stop.time.mean(), number, amount));
                free -= 1;
            }
        }
    }

    fn at_once(&mut self, station: usize, made: &mut Vec<(usize, f64)>) {
        for (number, _) in self.stops_at(station) {
            let amount = std::mem::take(&mut self.waits[number]);
            if amount > 0.0 {
                made.push((number, amount));
            }
        }
    }

    fn pass_on(&mut self, now: f64, stop: usize, amount: f64) {
        let from = &self.model.network.stops[stop];
        let made = amount * middle(&from.yields);
        let mut bring = |to: usize, amount: f64| {
            self.waits[to] += amount;
            self.came[to] = now;
        };
        match &from.then {
            Then::Leave | Then::Feed(_) => {}
            Then::Go(to) => bring(*to, made),
            Then::Share(ways) => {
                let all: f64 = ways.iter().map(|(weight, _)| weight).sum();
                for (weight, to) in ways {
                    bring(*to, made * weight / all);
                }
            }
            Then::Chance(ways) => {
                for (chance, to) in ways {
                    if let Some(to) = to {
                        bring(*to, made * chance);
                    }
                }
            }
        }
    }
}
