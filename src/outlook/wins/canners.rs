//! The next load of each canner: start now, start short, or wait.

use super::LEAST_FREE_GAIN_MIN;
use super::first_load::{FirstLoad, first_load, with_first};
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Nature;
use crate::day::state::State;
use crate::outlook::compare::{Finish, Kitchen, Paired, Rule};
use crate::outlook::make::tenths;
use crate::outlook::model::Model;
use crate::outlook::report::Win;
use crate::sim::{Network, Outcome};

/// What to do about the next loads.
pub(super) fn wins(state: &State, model: &Model, rule: Rule, seed: u64) -> Vec<Win> {
    let mut wins = Vec::new();
    for (station, found) in &state.stations {
        let Nature::Canner { canners, .. } = &found.plan.nature else {
            continue;
        };
        let is_free = canners
            .keys()
            .any(|canner| state.load_in(station, canner).is_none());
        for product in state.products.keys() {
            let next = Next {
                model,
                station,
                product,
                is_free,
                rule,
                seed,
            };
            wins.extend(next.win());
        }
    }
    wins
}

/// The next load of a product at a canner station.
struct Next<'a> {
    model: &'a Model,
    station: &'a StationId,
    product: &'a ProductId,
    is_free: bool,
    rule: Rule,
    seed: u64,
}

impl Next<'_> {
    fn win(&self) -> Option<Win> {
        let stop = self.model.stop(self.station, self.product)?;
        let fits = self.model.network.stops[stop].fits.floor();
        let waits = self.model.open_at(stop).floor();
        if !self.comes(stop) || waits >= fits {
            return None;
        }
        let waits = waits as u32;
        let finish = |day: &Outcome| self.model.finish_of(day);
        let (network, start) = (&self.model.network, &self.model.start);
        let how = (self.rule, self.seed);
        // A network that cannot be simulated has no wins; the forecast says what is wrong.
        let best = first_load(network, start, stop, &finish, LEAST_FREE_GAIN_MIN, how).ok()?;
        let could_start = self.is_free && waits > 0;
        match best {
            Some(best) if could_start && best.amount == waits => Some(Win::StartNow {
                station: self.station.clone(),
                product: self.product.clone(),
                jars: waits,
                gain_min: tenths(best.gain.mean),
            }),
            Some(best) if could_start && best.amount > waits => {
                self.wait(stop, waits, best.amount, &finish)
            }
            Some(FirstLoad { amount, gain }) => Some(Win::ShortLoadFirst {
                station: self.station.clone(),
                product: self.product.clone(),
                jars: amount,
                gain_min: tenths(gain.mean),
            }),
            None if could_start => self.wait(stop, waits, fits as u32, &finish),
            None => None,
        }
    }

    /// Whether jars wait there or may come.
    fn comes(&self, stop: usize) -> bool {
        let kitchen = Kitchen::of_networks(
            std::slice::from_ref(&self.model.network),
            &self.model.start,
            &|day| day.finish_min,
            self.seed,
        );
        kitchen.is_ok_and(|mut kitchen| {
            let day = kitchen.day(0, 0);
            day.batches.iter().any(|batch| batch.stop == stop)
        })
    }

    /// Waiting for more against starting with what is there, if that is the better.
    fn wait(&self, stop: usize, waits: u32, jars: u32, finish: Finish<'_>) -> Option<Win> {
        let with = |amount: u32| with_first(&self.model.network, stop, Some(amount));
        let networks: [Network; 2] = [with(waits), with(jars)];
        let start = &self.model.start;
        let mut kitchen = Kitchen::of_networks(&networks, start, finish, self.seed).ok()?;
        let gain: Paired = kitchen.fresh(1, self.rule.days);
        let is_worth_it = gain.sure_above(LEAST_FREE_GAIN_MIN) >= self.rule.sure
            && gain.below <= 1.0 - self.rule.sure;
        is_worth_it.then(|| Win::WaitFor {
            station: self.station.clone(),
            product: self.product.clone(),
            jars,
            wait_min: first_began(&mut kitchen, 1, stop, self.rule.days),
            gain_min: tenths(gain.mean),
        })
    }
}

/// Mean minutes until the first load of a stop begins.
fn first_began(kitchen: &mut Kitchen<'_>, change: usize, stop: usize, days: u32) -> f64 {
    let began = (0..u64::from(days)).filter_map(|day| {
        let batches = &kitchen.day(change, day).batches;
        let first = batches
            .iter()
            .find(|batch| batch.stop == stop && batch.began_min >= 0.0);
        first.map(|batch| batch.began_min)
    });
    let (mut sum, mut count) = (0.0, 0.0);
    for minutes in began {
        sum += minutes;
        count += 1.0;
    }
    if count > 0.0 { sum / count } else { 0.0 }
}
