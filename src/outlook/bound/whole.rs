//! The best line when each helper stays at one station, by trying every way to place them.

use super::NoBound;

/// Ways that are tried at most: seven stations and seven helpers.
const WAYS_MAX: u128 = 823_543;

/// The best way to place whole people.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Whole {
    /// Jobs a minute of the slowest station.
    pub per_min: f64,
    /// How many ways there were.
    pub tried: u64,
    /// How many of them are best.
    pub best: u64,
    /// By helper: the station, in the first of the best ways.
    pub places: Vec<usize>,
}

/// The best of every way to place each helper at one station they may work at, for the slowest
/// station (jobs a minute over `visits`; empty: every job comes by once).
///
/// # Errors
/// When there are too many ways.
pub fn whole_helpers(rates: &[Vec<f64>], visits: &[f64]) -> Result<Whole, NoBound> {
    let stations = rates.first().map_or(0, Vec::len);
    let may: Vec<Vec<usize>> = rates
        .iter()
        .map(|rates| (0..stations).filter(|at| rates[*at] > 0.0).collect())
        .collect();
    let ways: u128 = may.iter().map(|may| may.len() as u128).product();
    if ways > WAYS_MAX {
        return Err(NoBound::TooMany(ways));
    }
    let mut whole = Whole {
        per_min: f64::NEG_INFINITY,
        ..Whole::default()
    };
    let mut turn = vec![0; rates.len()];
    for _ in 0..ways {
        let places: Vec<usize> = turn.iter().zip(&may).map(|(at, may)| may[*at]).collect();
        whole.count(slowest(rates, visits, &places, stations), places);
        // The next way: like a counter, the last helper first.
        for (at, may) in turn.iter_mut().zip(&may).rev() {
            *at += 1;
            if *at < may.len() {
                break;
            }
            *at = 0;
        }
    }
    Ok(whole)
}

impl Whole {
    /// Two ways within this are equally good.
    const SAME: f64 = 1e-12;

    fn count(&mut self, per_min: f64, places: Vec<usize>) {
        self.tried += 1;
        if per_min > self.per_min + Self::SAME {
            (self.per_min, self.best, self.places) = (per_min, 1, places);
        } else if (per_min - self.per_min).abs() <= Self::SAME {
            self.best += 1;
        }
    }
}

fn slowest(rates: &[Vec<f64>], visits: &[f64], places: &[usize], stations: usize) -> f64 {
    let mut sums = vec![0.0; stations];
    for (rates, place) in rates.iter().zip(places) {
        sums[*place] += rates[*place];
    }
    let paces = sums.iter().enumerate().map(|(station, sum)| {
        let visits = visits.get(station).copied().unwrap_or(1.0);
        sum / visits
    });
    paces.fold(f64::INFINITY, f64::min)
}
