//! The rest of the day, simulated many times: when it ends, what it makes, what sets the end.
//!
//! Rates and yields are drawn once a day from what is known of them, services within the day; a
//! process always lasts as long as it was tested. Quantiles are of the simulated days as they fell:
//! a finish that comes in steps of a load stays in steps.

mod canners;
mod faster;

use super::model::Model;
use crate::sim::{Key, Outcome, Simulator, StationTimes, Until};

pub use canners::canner;
pub use faster::{a_tenth_faster, mean_gain};

/// Minutes after which a simulated day is given up: what is left then will not be done by those
/// who are here.
pub const HORIZON_MIN: f64 = 14.0 * 24.0 * 60.0;

/// Simulated days.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Forecast {
    /// How many days.
    pub runs: u32,
    /// Their seed.
    pub seed: u64,
    /// Why none could be simulated.
    pub fault: Option<String>,
    /// By day: minutes to its end; the horizon if it did not end.
    pub finishes: Vec<f64>,
    /// Days that did not end.
    pub unfinished: u32,
    /// By class and day: minutes to the last of it; 0 if there was nothing to do.
    pub class_finishes: Vec<Vec<f64>>,
    /// By class and day: how much of it was made.
    pub class_made: Vec<Vec<f64>>,
    /// By station: in how many days it set the end.
    pub set_by: Vec<u32>,
    /// By station: minutes of the critical chain in an average day.
    pub chain: Vec<f64>,
    /// By station: what it does with its time in an average day.
    pub times: Vec<StationTimes>,
    /// By station and day: when its loads or pots begin, those under way left out.
    pub starts: Vec<Vec<Vec<f64>>>,
    /// By station: minutes its canners or pots stand empty before the last begins, on average.
    pub idle_min: Vec<f64>,
}

/// Simulates the rest of a day so many times.
pub fn forecast(model: &Model, runs: u32, seed: u64) -> Forecast {
    let stations = model.network.stations.len();
    let mut found = Forecast {
        seed,
        class_finishes: vec![Vec::new(); model.network.classes],
        class_made: vec![Vec::new(); model.network.classes],
        set_by: vec![0; stations],
        chain: vec![0.0; stations],
        times: vec![StationTimes::default(); stations],
        starts: vec![Vec::new(); stations],
        idle_min: vec![0.0; stations],
        ..Forecast::default()
    };
    let told = each_day(model, runs, seed, |outcome| found.take(model, outcome));
    if let Err(fault) = told {
        found.fault = Some(fault);
    }
    found.average();
    found
}

/// Simulates days and tells each to `tell`.
///
/// # Errors
/// What is wrong with the network.
pub(super) fn each_day(
    model: &Model,
    runs: u32,
    seed: u64,
    mut tell: impl FnMut(&Outcome),
) -> Result<(), String> {
    let mut simulator = Simulator::new(&model.network).map_err(|fault| fault.to_string())?;
    for run in 0..u64::from(runs) {
        let key = Key { seed, run };
        let until = Until {
            minutes: HORIZON_MIN,
            ..Until::done()
        };
        tell(simulator.run(&model.start, key, until));
    }
    Ok(())
}

/// Minutes to the end of each of so many days; nothing if they cannot be simulated.
pub(super) fn finishes(model: &Model, runs: u32, seed: u64) -> Vec<f64> {
    let mut finishes = Vec::new();
    let told = each_day(model, runs, seed, |day| finishes.push(model.finish_of(day)));
    match told {
        Ok(()) => finishes,
        Err(_) => Vec::new(),
    }
}

impl Forecast {
    fn take(&mut self, model: &Model, outcome: &Outcome) {
        self.runs += 1;
        self.finishes.push(model.finish_of(outcome));
        self.unfinished += u32::from(outcome.services_left > 0.0);
        for (class, finishes) in self.class_finishes.iter_mut().enumerate() {
            let at = outcome.class_finish_min.get(class);
            finishes.push(at.copied().unwrap_or(0.0));
        }
        for (class, made) in self.class_made.iter_mut().enumerate() {
            made.push(outcome.class_made.get(class).copied().unwrap_or(0.0));
        }
        if let Some(set_by) = outcome
            .set_by
            .and_then(|station| self.set_by.get_mut(station))
        {
            *set_by += 1;
        }
        for (sum, minutes) in self.chain.iter_mut().zip(&outcome.chain_by_station) {
            *sum += minutes;
        }
        for (sum, times) in self.times.iter_mut().zip(&outcome.stations) {
            sum.working += times.working;
            sum.starved += times.starved;
            sum.blocked += times.blocked;
            sum.unstaffed += times.unstaffed;
            sum.services += times.services;
            sum.area += times.area;
        }
        canners::take(self, model, outcome);
    }

    fn average(&mut self) {
        let n = f64::from(self.runs.max(1));
        for number in self.chain.iter_mut().chain(&mut self.idle_min) {
            *number /= n;
        }
        for times in &mut self.times {
            let parts = [
                &mut times.working,
                &mut times.starved,
                &mut times.blocked,
                &mut times.unstaffed,
                &mut times.services,
                &mut times.area,
            ];
            for part in parts {
                *part /= n;
            }
        }
    }

    /// Whether most days come to an end.
    pub fn ends(&self) -> bool {
        self.runs > 0 && self.unfinished * 2 < self.runs
    }

    /// The finishes, ascending.
    pub fn sorted(&self) -> Vec<f64> {
        sorted(self.finishes.clone())
    }

    /// The chance to be done within so many minutes.
    pub fn by(&self, minutes: f64) -> f64 {
        share(&self.finishes, |finish| *finish <= minutes)
    }

    /// In which share of the days a station set the end.
    pub fn share_set_by(&self, station: usize) -> f64 {
        let days = self.set_by.get(station).copied().unwrap_or(0);
        f64::from(days) / f64::from(self.runs.max(1))
    }
}

/// The share of those of which something is so; 0 of none.
pub(super) fn share<T>(all: &[T], is_so: impl Fn(&T) -> bool) -> f64 {
    let count = all.iter().filter(|one| is_so(one)).count();
    count as f64 / all.len().max(1) as f64
}

/// Numbers, ascending.
pub(super) fn sorted(mut numbers: Vec<f64>) -> Vec<f64> {
    numbers.sort_by(f64::total_cmp);
    numbers
}

/// The quantile of ascending numbers, linear between neighbours (Hyndman & Fan 1996, type 7); 0
/// of none.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return 0.0;
    };
    let place = share.clamp(0.0, 1.0) * last as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(last);
    let (low, high) = (sorted[below], sorted[above]);
    (high - low).mul_add(place - below as f64, low)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Type 7 of Hyndman & Fan (1996), "Sample quantiles in statistical packages": of 1, 2, 3, 4
    /// the median is 2.5 and the first tenth 1.3.
    #[test]
    fn quantiles_are_those_of_the_published_rule() {
        let numbers = [1.0, 2.0, 3.0, 4.0];
        assert_eq!(quantile(&numbers, 0.5), 2.5);
        assert!((quantile(&numbers, 0.1) - 1.3).abs() < 1e-12);
        assert_eq!(quantile(&numbers, 1.0), 4.0);
        assert_eq!(quantile(&[], 0.5), 0.0);
    }
}
