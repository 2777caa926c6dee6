//! Means, spreads and their standard errors over independent runs.

use serde::Serialize;

/// A mean over runs with its standard error.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Estimate {
    /// The mean; absent when no run had anything to measure.
    pub mean: Option<f64>,
    /// Its standard error; absent below two runs.
    pub std_error: Option<f64>,
}

/// Adds up one figure over runs (Welford 1962: no loss of digits).
#[derive(Debug, Clone, Copy, Default)]
pub struct Tally {
    count: f64,
    mean: f64,
    squares: f64,
}

impl Tally {
    /// One more run; a figure that is not a number (nothing to measure) is passed over.
    pub fn add(&mut self, figure: f64) {
        if !figure.is_finite() {
            return;
        }
        self.count += 1.0;
        let off = figure - self.mean;
        self.mean += off / self.count;
        self.squares += off * (figure - self.mean);
    }

    /// The mean and its standard error.
    pub fn estimate(&self) -> Estimate {
        let has_two = self.count >= 2.0;
        let variance = self.squares / (self.count - 1.0);
        Estimate {
            mean: (self.count > 0.0).then_some(self.mean),
            std_error: has_two.then(|| (variance / self.count).sqrt()),
        }
    }
}

/// How one figure is spread over runs.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Spread {
    /// Mean.
    pub mean: Estimate,
    /// Standard deviation; its error from the fourth moment.
    pub sd: Estimate,
    /// The smallest.
    pub least: f64,
    /// A tenth of the runs are below; its error from the ranks one binomial deviation away.
    pub p10: Estimate,
    /// Half of them are below.
    pub p50: Estimate,
    /// Nine tenths are below.
    pub p90: Estimate,
    /// The greatest.
    pub greatest: f64,
}

impl Spread {
    /// Of these figures, one a run, in any order.
    pub fn of(mut figures: Vec<f64>) -> Self {
        figures.sort_by(f64::total_cmp);
        let mut tally = Tally::default();
        figures.iter().for_each(|figure| tally.add(*figure));
        let mean = tally.estimate();
        Self {
            mean,
            sd: deviation(&figures, mean.mean.unwrap_or(0.0)),
            least: figures.first().copied().unwrap_or(0.0),
            p10: quantile(&figures, 0.1),
            p50: quantile(&figures, 0.5),
            p90: quantile(&figures, 0.9),
            greatest: figures.last().copied().unwrap_or(0.0),
        }
    }
}

/// Standard deviation; the variance of a sample variance is `(m4 - s^4) / n` for large n.
fn deviation(figures: &[f64], mean: f64) -> Estimate {
    let count = figures.len() as f64;
    if figures.len() < 2 {
        return Estimate::default();
    }
    let moment = |power: i32| -> f64 { figures.iter().map(|x| (x - mean).powi(power)).sum() };
    let variance = moment(2) / (count - 1.0);
    let fourth = moment(4) / count;
    let sd = variance.sqrt();
    let error = ((fourth - variance * variance).max(0.0) / count).sqrt() / (2.0 * sd);
    Estimate {
        mean: Some(sd),
        std_error: Some(if sd > 0.0 { error } else { 0.0 }),
    }
}

/// The figure of rank `part` of all; the error is half the distance between the figures whose
/// ranks are one binomial deviation below and above (distribution-free order statistics).
fn quantile(sorted: &[f64], part: f64) -> Estimate {
    let count = sorted.len() as f64;
    let at = |rank: f64| {
        let rank = rank.clamp(0.0, count - 1.0);
        let below = sorted[rank.floor() as usize];
        let above = sorted[rank.ceil() as usize];
        below + (above - below) * (rank - rank.floor())
    };
    if sorted.is_empty() {
        return Estimate::default();
    }
    let rank = part * (count - 1.0);
    let off = (count * part * (1.0 - part)).sqrt();
    let error = (at(rank + off) - at(rank - off)) / 2.0;
    Estimate {
        mean: Some(at(rank)),
        std_error: (sorted.len() > 1).then_some(error),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_known_list_has_its_known_figures() {
        let spread = Spread::of((1..=101).map(f64::from).collect());
        assert_eq!(spread.mean.mean, Some(51.0));
        assert_eq!(spread.p10.mean, Some(11.0));
        assert_eq!(spread.p50.mean, Some(51.0));
        assert_eq!(spread.p90.mean, Some(91.0));
        // The variance of 1..n is n (n + 1) / 12 with n - 1 below the sum of squares.
        let sd = (101.0f64 * 102.0 / 12.0).sqrt();
        assert!((spread.sd.mean.unwrap_or(0.0) - sd).abs() < 1e-12);
        let error = sd / 101.0f64.sqrt();
        assert!((spread.mean.std_error.unwrap_or(0.0) - error).abs() < 1e-12);
        // Half a rank more either way of 50 of 101: sqrt(101 / 4).
        assert!((spread.p50.std_error.unwrap_or(0.0) - (101.0f64 / 4.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn one_run_has_no_error() {
        let mut tally = Tally::default();
        tally.add(3.0);
        tally.add(f64::NAN);
        assert_eq!(tally.estimate().mean, Some(3.0));
        assert_eq!(tally.estimate().std_error, None);
    }
}
