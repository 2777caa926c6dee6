//! What it would bring if work at a station went faster: the same days again, with one change.

use super::{finishes, sorted};
use crate::outlook::model::Model;
use crate::sim::{Law, Works};

/// By station: minutes the day ends earlier, on average, if work there goes a tenth faster; `None`
/// at canners, whose process has its tested time, and where nothing takes time.
pub fn a_tenth_faster(model: &Model, runs: u32, seed: u64, chain: &[f64]) -> Vec<Option<f64>> {
    let before = finishes(model, runs, seed);
    let stations = model.network.stations.iter().enumerate();
    stations
        .map(|(number, station)| {
            let tested = is_canner(model, number);
            match station.works {
                Works::Servers(_) => None,
                Works::Batches(_) if tested => None,
                Works::Hands | Works::Batches(_) => {
                    // What is on no critical chain gains nothing by being faster.
                    let idle = chain.get(number).is_none_or(|minutes| *minutes <= 0.0);
                    let gain = || mean_gain(&before, &finishes(&faster(model, number), runs, seed));
                    Some(if idle { 0.0 } else { gain() })
                }
            }
        })
        .collect()
}

fn is_canner(model: &Model, station: usize) -> bool {
    let stops = model.network.stops.iter().zip(&model.process_min);
    let mut here = stops.filter(|(stop, _)| stop.station == station);
    here.any(|(_, process)| process.is_some())
}

fn faster(model: &Model, station: usize) -> Model {
    let mut changed = model.clone();
    for stop in &mut changed.network.stops {
        if stop.station == station {
            shorten(&mut stop.time);
        }
    }
    changed
}

fn shorten(law: &mut Law) {
    const TENTH: f64 = 1.1;
    match law {
        Law::Deterministic(mean) | Law::Exponential(mean) => *mean /= TENTH,
        Law::Gamma { mean, .. } | Law::Lognormal { mean, .. } => *mean /= TENTH,
        Law::Empirical(all) | Law::Sequence(all) => all.iter_mut().for_each(|one| *one /= TENTH),
        Law::Sum(parts) => parts.iter_mut().for_each(shorten),
    }
}

/// A change can send people other ways for the rest of a day; of the differences the largest and
/// the smallest tenth are left out.
const LEFT_OUT: usize = 10;

/// Minutes gained, day by day with the same draws: a mean without the largest and the smallest
/// tenth (a trimmed mean); of none 0. A day that one of both does not end is left out.
pub fn mean_gain(before: &[f64], after: &[f64]) -> f64 {
    let ended = |minutes: f64| minutes < super::HORIZON_MIN;
    let pairs = before.iter().zip(after);
    let gains = sorted(
        pairs
            .filter(|(before, after)| ended(**before) && ended(**after))
            .map(|(before, after)| before - after)
            .collect(),
    );
    let cut = gains.len() / LEFT_OUT;
    let kept = &gains[cut..gains.len() - cut];
    kept.iter().sum::<f64>() / kept.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: gains 0 to 8 and 1,000; without the first and the last their mean is 4.5.
    #[test]
    fn a_gain_is_no_single_days_doing() {
        let before: Vec<f64> = (0..9)
            .map(|n| 100.0 + f64::from(n))
            .chain([1100.0])
            .collect();
        assert_eq!(mean_gain(&before, &[100.0; 10]), 4.5);
        assert_eq!(mean_gain(&[], &[]), 0.0);
        assert_eq!(mean_gain(&[super::super::HORIZON_MIN], &[5.0]), 0.0);
    }
}
