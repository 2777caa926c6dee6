//! What really waits beside what the board says: a step that gives less than promised leaves work
//! on the board that is not on the table, and nobody counts for less than a carrier.
//!
//! Kept from count to count with the yields as far as they are known. A tap is proof that its
//! carrier was there.

use crate::day::ids::{ProductId, StationId};
use std::collections::BTreeMap;

type At = (StationId, ProductId);

/// How much more (or, below 0, less) really waits than the board says, in the measure of the step.
#[derive(Debug, Clone, Default)]
pub(super) struct Drift {
    off: BTreeMap<At, f64>,
}

impl Drift {
    /// So much came by promise, of a step that gives `factor` times its promise.
    pub(super) fn came(&mut self, to: &At, promised: f64, factor: f64) {
        let off = promised * (factor - 1.0);
        if off != 0.0 {
            *self.off.entry(to.clone()).or_default() += off;
        }
    }

    /// It was counted.
    pub(super) fn counted(&mut self, at: &At) {
        self.off.remove(at);
    }

    /// So much was taken while the board said that `waited` was there.
    pub(super) fn taken(&mut self, at: &At, taken: f64, waited: f64) {
        if let Some(off) = self.off.get_mut(at)
            && waited + *off < taken
        {
            *off = taken - waited;
        }
    }

    /// How much more than the board says.
    pub(super) fn at(&self, station: &StationId, product: &ProductId) -> f64 {
        if self.off.is_empty() {
            return 0.0;
        }
        let at = (station.clone(), product.clone());
        self.off.get(&at).copied().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_there_is_kept_from_count_to_count_and_a_tap_is_proof() {
        let id = |text: &str| (StationId::try_from(text), ProductId::try_from(text));
        let (Ok(station), Ok(product)) = id("bag") else {
            unreachable!("plain words");
        };
        let at = (station, product);
        let mut drift = Drift::default();
        for _ in 0..4 {
            drift.came(&at, 1.0, 0.8);
        }
        assert!((drift.at(&at.0, &at.1) + 0.8).abs() < 1e-9);
        // One waits on the board, 0.2 by reckoning; but somebody took a whole one.
        drift.taken(&at, 1.0, 1.0);
        assert_eq!(drift.at(&at.0, &at.1), 0.0);
        drift.came(&at, 5.0, 0.8);
        drift.counted(&at);
        assert_eq!(drift.at(&at.0, &at.1), 0.0);
    }
}
