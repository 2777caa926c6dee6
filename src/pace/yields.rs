//! What really comes of a step against what its yield promises: from pots that were measured and
//! from counts of what a step had made.

use super::layout::plain;
use super::learned::Learned;
use super::lessons::SeenYield;
use super::minutes::Factor;
use crate::day::amount::Measure;
use crate::day::event::{Event, Onward};
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Step;
use crate::day::state::State;
use std::collections::{BTreeMap, BTreeSet};

type At = (StationId, ProductId);

/// The yields of a day.
#[derive(Debug, Clone, Default)]
pub(super) struct Yields {
    /// Of pots that were measured, logarithms of real against promised: weight and weighted sum.
    pots: BTreeMap<At, (f64, f64)>,
    /// What had come to a station by its last count, from its only step.
    counted: BTreeMap<At, Counted>,
    /// What came to a station since it was last counted, and from which step.
    came: BTreeMap<At, BTreeMap<At, f64>>,
    /// The last time since then that nearly nothing waited and nobody had to count.
    low: BTreeMap<At, Low>,
}

/// All that came by promise, and what it really was. The error of a count in between is made good by
/// the next, so that of all together is that of the last.
#[derive(Debug, Clone)]
struct Counted {
    from: At,
    made: f64,
    real: f64,
    holds: f64,
}

/// What had come by then, from its only step, and what a carrier holds.
#[derive(Debug, Clone)]
struct Low {
    from: At,
    came: f64,
    holds: f64,
}

/// A measure of a factor.
struct Measured {
    ratio: f64,
    sigma: f64,
}

/// The spread of the logarithm over a whole route: what a quart takes in households scatters from
/// 25 % less to 20 % more than the tables say; taken as the middle eight tenths.
pub(super) const ROUTE_SIGMA: f64 = 0.18;

/// The spread of one pot about its day's factor, and of one carrier; from memory.
pub(super) const POT_SIGMA: f64 = 0.08;
const CARRIER_SIGMA: f64 = 0.1;

/// The spread of one day's factor about that of another, with other fruit; from memory.
const DAY_SIGMA: f64 = 0.08;

/// A factor below or above these is no yield.
pub(super) const FACTORS: (f64, f64) = (0.4, 2.5);

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
                self.measured_pot(&at, made / promised);
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
            self.count(&at, plain(*amount) - plain(*was), holds.unwrap_or(0.0));
        }
    }

    /// So much more was there than the board said.
    fn count(&mut self, at: &At, more: f64, holds: f64) {
        self.low.remove(at);
        let came = self.came.remove(at).unwrap_or_default();
        let (from, made) = match (came.len(), came.into_iter().next()) {
            (1, Some(only)) => only,
            // Of several ways in, nobody knows which one gave other than promised.
            (_, Some(_)) => return,
            (_, None) => match self.counted.get(at) {
                Some(counted) => (counted.from.clone(), 0.0),
                None => return,
            },
        };
        let real = made + more;
        // What is further off was another mistake.
        if real < FACTORS.0 * made - holds || real > FACTORS.1 * made + holds {
            return;
        }
        let none = Counted {
            from: from.clone(),
            made: 0.0,
            real: 0.0,
            holds,
        };
        let counted = self.counted.entry(at.clone()).or_insert(none);
        if counted.from == from {
            counted.made += made;
            counted.real += real;
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

    fn measured_pot(&mut self, at: &At, ratio: f64) {
        if (FACTORS.0..=FACTORS.1).contains(&ratio) {
            let weight = 1.0 / (POT_SIGMA * POT_SIGMA);
            let seen = self.pots.entry(at.clone()).or_default();
            seen.0 += weight;
            seen.1 += weight * ratio.ln();
        }
    }

    /// What counts tell of the step from which all comes to a station: up to the last count, and on
    /// to when the board was right without one.
    fn measured(&self, to: &At, from: &At) -> Option<Measured> {
        let counted = self.counted.get(to).filter(|counted| counted.from == *from);
        let low = self.low.get(to).filter(|low| low.from == *from);
        let (mut made, mut real) = counted.map_or((0.0, 0.0), |all| (all.made, all.real));
        let mut off = counted.map_or(0.0, |all| COUNT_CARRIERS * all.holds);
        let mut holds = counted.map_or(0.0, |all| all.holds);
        if let Some(low) = low {
            made += low.came;
            real += low.came;
            off = LOW_CARRIERS * low.holds;
            holds = low.holds;
        }
        let ratio = real / made;
        let sigma = scatter(off / made, made / holds);
        let sound = made > 0.0 && (FACTORS.0..=FACTORS.1).contains(&ratio) && sigma > 0.0;
        sound.then_some(Measured { ratio, sigma })
    }

    /// What today tells of a step.
    fn seen(&self, at: &At) -> SeenYield {
        let (mut weight, mut sum) = self.pots.get(at).copied().unwrap_or_default();
        let places: BTreeSet<&At> = self.counted.keys().chain(self.low.keys()).collect();
        for told in places.into_iter().filter_map(|to| self.measured(to, at)) {
            let counts = 1.0 / (told.sigma * told.sigma);
            weight += counts;
            sum += counts * told.ratio.ln();
        }
        SeenYield { weight, sum }
    }

    /// What today tells of every step that was measured or counted.
    pub(super) fn today(&self) -> Vec<(At, SeenYield)> {
        let counted = self.counted.values().map(|counted| &counted.from);
        let low = self.low.values().map(|low| &low.from);
        let all: BTreeSet<&At> = self.pots.keys().chain(counted).chain(low).collect();
        let seen = all.into_iter().map(|at| (at.clone(), self.seen(at)));
        seen.filter(|(_, seen)| seen.weight > 0.0).collect()
    }

    /// The factor of a step: normal in its logarithm, prior, earlier days and measures weighed
    /// together.
    pub(super) fn told(
        &self,
        state: &State,
        (station, product): (&StationId, &ProductId),
        earlier: &Learned,
    ) -> Factor {
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
        let SeenYield {
            mut weight,
            mut sum,
        } = self.seen(&at);
        let (older, of) = weighed(earlier.yield_of(station, product));
        weight += older;
        sum += of;
        Factor {
            median: (sum / (prior + weight)).exp(),
            sigma: (prior + weight).sqrt().recip(),
        }
    }
}

/// What earlier days saw, as weight and weighted sum for another day with other fruit.
pub(super) fn weighed(older: SeenYield) -> (f64, f64) {
    if older.weight <= 0.0 {
        return (0.0, 0.0);
    }
    let counts = 1.0 / (1.0 / older.weight + DAY_SIGMA * DAY_SIGMA);
    (counts, counts * older.sum / older.weight)
}

/// The spread of what is measured of so many carriers, of which so large a share was misread.
fn scatter(misread: f64, carriers: f64) -> f64 {
    misread.hypot(CARRIER_SIGMA / carriers.sqrt())
}

/// How well one count of so many carriers tells the yield they were made by: the spread of its
/// logarithm.
pub fn count_sigma(carriers: f64) -> f64 {
    scatter(COUNT_CARRIERS / carriers, carriers)
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

#[cfg(test)]
mod tests {
    use super::*;

    fn at(station: &str) -> At {
        let ids = (StationId::try_from(station), ProductId::try_from("pears"));
        let (Ok(station), Ok(product)) = ids else {
            unreachable!("plain words");
        };
        (station, product)
    }

    /// What is measured when ten came by promise before each count, which says so much less.
    fn counted(less: &[f64]) -> Measured {
        let (from, to) = (at("pare"), at("fill"));
        let mut yields = Yields::default();
        for less in less {
            let came = yields.came.entry(to.clone()).or_default();
            came.insert(from.clone(), 10.0);
            yields.count(&to, -less, 1.0);
        }
        let Some(told) = yields.measured(&to, &from) else {
            unreachable!("something was counted");
        };
        told
    }

    #[test]
    fn what_one_count_missed_the_next_makes_good() {
        let (once_off, right) = (counted(&[1.4, 0.6]), counted(&[1.0, 1.0]));
        assert!((once_off.ratio - 0.9).abs() < 1e-9 && (right.ratio - 0.9).abs() < 1e-9);
        // A third of a carrier of twenty, and carriers that scatter by a tenth each.
        let sigma = 0.015_f64.hypot(0.1 / 20.0_f64.sqrt());
        assert!((right.sigma - sigma).abs() < 1e-9, "{}", right.sigma);
    }
}
