//! What really comes of a step against what its yield promises: from pots that were measured and
//! from counts of what a step had made.

use super::layout::plain;
use super::minutes::Factor;
use crate::day::amount::Measure;
use crate::day::event::{Event, Onward};
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Step;
use crate::day::state::State;
use std::collections::BTreeMap;

type At = (StationId, ProductId);

/// The yields of a day.
#[derive(Debug, Clone, Default)]
pub(super) struct Yields {
    /// Logarithms of real against promised: weight and weighted sum.
    seen: BTreeMap<At, (f64, f64)>,
    /// What came to a station since it was last counted, and from which step.
    came: BTreeMap<At, BTreeMap<At, f64>>,
    /// The last time since then that nearly nothing waited and nobody had to count.
    low: BTreeMap<At, Low>,
}

/// What had come by then, from its only step, and what a carrier holds.
#[derive(Debug, Clone)]
struct Low {
    from: At,
    came: f64,
    holds: f64,
}

/// The spread of the logarithm over a whole route: what a quart takes in households scatters from
/// 25 % less to 20 % more than the tables say; taken as the middle eight tenths.
const ROUTE_SIGMA: f64 = 0.18;

/// The spread of one pot about its day's factor, and of one count; from memory.
const POT_SIGMA: f64 = 0.08;
const COUNT_SIGMA: f64 = 0.05;

/// A count is right to about a third of a carrier; where nearly nothing waits and nobody had to
/// count, the board is: two parts of a carrier, evenly spread, differ by 0.41 in the mean square.
const LOW_CARRIERS: f64 = 0.41;
const COUNT_CARRIERS: f64 = 0.3;

impl Yields {
    /// Takes an event; `holds` is a carrier of where something is counted.
    pub(super) fn take(&mut self, event: &Event, holds: Option<f64>) {
        if let Event::Tallied {
            station,
            product,
            parts,
            onward,
            ..
        }
        | Event::PotFinished {
            station,
            product,
            parts,
            onward,
            ..
        } = event
        {
            let at = (station.clone(), product.clone());
            let made: f64 = parts.iter().map(|part| plain(part.made)).sum();
            let promised: f64 = parts.iter().map(|part| plain(part.promised)).sum();
            let is_pot = matches!(event, Event::PotFinished { .. });
            if is_pot && promised > 0.0 && (made / promised - 1.0).abs() > 1e-3 {
                self.note(&at, made / promised, POT_SIGMA);
            } else if let Onward::Step { product, station } = onward {
                let to = (station.clone(), product.clone());
                *self.came.entry(to).or_default().entry(at).or_default() += made;
            }
        } else if let Event::Recounted {
            station,
            product,
            amount,
            was,
            ..
        } = event
        {
            let at = (station.clone(), product.clone());
            let came = self.came.remove(&at).unwrap_or_default();
            self.low.remove(&at);
            // Of several ways in, nobody knows which one gave other than promised.
            if let (1, Some((from, made))) = (came.len(), came.first_key_value()) {
                let real = made + plain(*amount) - plain(*was);
                let share = COUNT_CARRIERS * holds.unwrap_or(0.0) / made.max(1e-9);
                self.note(from, real / made, COUNT_SIGMA.hypot(share));
            }
        }
    }

    /// Less than a carrier waits, of which one holds so much: had much more or less come than
    /// promised, somebody would have had to count.
    pub(super) fn is_low(&mut self, at: &At, holds: f64) {
        let Some(came) = self.came.get(at) else {
            return;
        };
        if let (1, Some((from, made))) = (came.len(), came.first_key_value()) {
            let low = Low {
                from: from.clone(),
                came: *made,
                holds,
            };
            self.low.insert(at.clone(), low);
        }
    }

    /// What came to a station by promise since it was counted or nearly nothing waited, and from
    /// where.
    pub(super) fn unsure(&self, station: &StationId, product: &ProductId) -> Vec<(At, f64)> {
        let at = (station.clone(), product.clone());
        let came = self.came.get(&at).into_iter().flatten();
        let sure = self.low.get(&at);
        let since = |(from, made): (&At, &f64)| {
            let before = sure
                .filter(|low| low.from == *from)
                .map_or(0.0, |low| low.came);
            (from.clone(), (made - before).max(0.0))
        };
        came.map(since).collect()
    }

    fn note(&mut self, at: &At, ratio: f64, sigma: f64) {
        // What is further off was another mistake.
        if !(0.4..=2.5).contains(&ratio) {
            return;
        }
        let weight = 1.0 / (sigma * sigma);
        let seen = self.seen.entry(at.clone()).or_default();
        seen.0 += weight;
        seen.1 += weight * ratio.ln();
    }

    /// The factor of a step: normal in its logarithm, prior and measures weighed together.
    pub(super) fn told(&self, state: &State, station: &StationId, product: &ProductId) -> Factor {
        let plan = state.products.get(product).map(|found| &found.plan);
        let route = plan.map_or(&[][..], |plan| plan.route.as_slice());
        let varies = |step: &&Step| can_vary(state, product, step);
        let here = route.iter().filter(varies).any(|s| s.station == *station);
        let steps = route.iter().filter(varies).count();
        if !here {
            return Factor {
                median: 1.0,
                sigma: 0.0,
            };
        }
        let sigma = ROUTE_SIGMA / (steps as f64).sqrt();
        let prior = 1.0 / (sigma * sigma);
        let at = (station.clone(), product.clone());
        let (mut weight, sum) = self.seen.get(&at).copied().unwrap_or_default();
        for low in self.low.values().filter(|low| low.from == at) {
            let sigma = COUNT_SIGMA.hypot(LOW_CARRIERS * low.holds / low.came.max(1e-9));
            weight += 1.0 / (sigma * sigma);
        }
        Factor {
            median: (sum / (prior + weight)).exp(),
            sigma: (prior + weight).sqrt().recip(),
        }
    }
}

/// Whether more or less than promised can come of a step: not where one comes of one, and not where
/// a measured volume goes into packages.
fn can_vary(state: &State, product: &ProductId, step: &Step) -> bool {
    let volume = matches!(step.measure, Measure::Cup | Measure::Qt | Measure::L);
    let packs = || {
        let after = state.measure_after(product, step);
        after.is_some_and(|measure| measure.is_counted())
    };
    step.yields.made != step.yields.from && !(volume && packs())
}
