//! Spans that do not depend on who works: canners, pots, breaks; and what yields came to.
//!
//! The tested process itself is never among them: it is a safety constant.

use serde::{Deserialize, Serialize};

/// A time that varies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minutes {
    /// Mean in minutes.
    pub mean: f64,
    /// Coefficient of variation.
    pub cv: f64,
}

/// The phases of a load beside its process.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CannerPace {
    /// From the first jar in to the heat on.
    pub loading: Minutes,
    /// From the heat on to the boil or pressure, venting included.
    pub heating: Minutes,
    /// From the end of the process to the jars out: rest and unload.
    pub after: Minutes,
}

/// A factor that is not known exactly: lognormal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// Median.
    pub median: f64,
    /// Standard deviation of the logarithm; 0 for what cannot vary.
    pub sigma: f64,
}

/// What was seen of one kind of span: count, sum and sum of squares, in minutes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Sample {
    pub(super) n: f64,
    pub(super) sum: f64,
    pub(super) squares: f64,
}

/// A prior counts as much as so many spans seen.
const PRIOR_COUNTS: f64 = 2.0;

impl Sample {
    /// One more.
    pub(super) fn take(&mut self, value: f64) {
        self.n += 1.0;
        self.sum += value;
        self.squares += value * value;
    }

    /// Both together, the other discounted.
    pub(super) fn with_older(self, older: Sample, discount: f64) -> Sample {
        Sample {
            n: self.n + older.n * discount,
            sum: self.sum + older.sum * discount,
            squares: self.squares + older.squares * discount,
        }
    }

    /// The prior, moved by what was seen.
    pub(super) fn told(self, prior: Minutes) -> Minutes {
        let weight = PRIOR_COUNTS + self.n;
        let mean = (PRIOR_COUNTS * prior.mean + self.sum) / weight;
        // Squares about the new mean, those the prior stands for among them.
        let about = |n: f64, sum: f64, squares: f64| squares - 2.0 * mean * sum + n * mean * mean;
        let expected = prior.mean * prior.mean * (1.0 + prior.cv * prior.cv);
        let squares = about(self.n, self.sum, self.squares)
            + about(
                PRIOR_COUNTS,
                PRIOR_COUNTS * prior.mean,
                PRIOR_COUNTS * expected,
            );
        let cv = (squares.max(0.0) / weight).sqrt() / mean.max(f64::MIN_POSITIVE);
        Minutes { mean, cv }
    }
}
