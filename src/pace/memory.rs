//! How long the pace of somebody is remembered: as long as it foretells the day's services best.
//!
//! Power discounting, with the discount weighed by the density each service had been foretold with
//! (West & Harrison, "Bayesian Forecasting and Dynamic Models", 1989).

use super::log::{Entry, Total};
use crate::sim::posterior::Posterior;
use statrs::function::gamma::ln_gamma;

/// What a service counts for after each that follows: some 20 carriers are remembered if pace
/// changes much; else 50, or 200.
const KEPT: [f64; 3] = [0.95, 0.98, 0.995];

/// Fewer carriers than this are none: what is left of a tap that was taken back.
pub(super) const NONE: f64 = 1e-6;

/// Times the usual minutes of a carrier that are a forgotten hour, and no pace.
const FAR_OUT: f64 = 3.0;

/// All entries of one helper with one product.
pub(super) struct Told<'a> {
    pub(super) entries: &'a [Entry],
    /// What was expected before them.
    pub(super) prior: Posterior,
    /// Their sum.
    pub(super) usual: Total,
}

/// How much of a service is kept for each that follows: the mean over [`KEPT`], all as likely
/// before anything was seen.
pub(super) fn kept(all: &[Told<'_>], shape: f64) -> f64 {
    let likelihood = |kept: &f64| all.iter().map(|told| told.likelihood(shape, *kept)).sum();
    let logs: Vec<f64> = KEPT.iter().map(likelihood).collect();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights = logs.iter().map(|log| (log - most).exp());
    let (sum, all) = KEPT
        .iter()
        .zip(weights)
        .fold((0.0, 0.0), |sum, (kept, weight)| {
            (sum.0 + weight * kept, sum.1 + weight)
        });
    sum / all
}

impl Told<'_> {
    /// The logarithm of the density of all entries, each foretold by those before it, but for what
    /// does not depend on `kept`.
    fn likelihood(&self, shape: f64, kept: f64) -> f64 {
        let most = FAR_OUT * self.usual.minutes / self.usual.carriers.max(NONE);
        let mut law = self.prior;
        let mut sum = 0.0;
        for entry in self.entries {
            if let Entry::Done { carriers, minutes } = *entry
                && carriers > NONE
                && minutes > 0.0
                && minutes <= most * carriers
            {
                sum += foretold(law, shape * carriers, shape * minutes);
            }
            law = after(law, entry, shape, kept);
        }
        sum
    }
}

/// The logarithm of the density of a Gamma span of shape `services` whose rate has this law, at
/// `lasted`, but for what does not depend on the law.
fn foretold(law: Posterior, services: f64, lasted: f64) -> f64 {
    let (a, b) = (law.shape, law.rate);
    let spread = ln_gamma(a + services) - ln_gamma(a);
    spread - a * (lasted / b).ln_1p() - services * (b + lasted).ln()
}

/// A law after one more entry.
pub(super) fn after(law: Posterior, entry: &Entry, shape: f64, kept: f64) -> Posterior {
    match *entry {
        Entry::Done { carriers, minutes } if carriers > NONE => {
            fold(law, carriers, minutes, (shape, kept))
        }
        Entry::Done { minutes, .. } | Entry::Unfinished { minutes } => {
            law.unfinished(shape, minutes)
        }
    }
}

/// A block as so many even services, each discounting what was before.
fn fold(law: Posterior, carriers: f64, minutes: f64, (shape, kept): (f64, f64)) -> Posterior {
    let all = kept.powf(carriers);
    // 1 + d + d^2 ... of whole and broken numbers of services.
    let weight = (1.0 - all) / (1.0 - kept);
    let each = minutes / carriers;
    law.forget(all)
        .seen_with_shape(shape, weight, weight * each)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_is_as_many_even_services() {
        let prior = Posterior::prior(0.3, 3.0);
        let even = (0..5).fold(prior, |law, _| {
            law.forget(0.95).seen_with_shape(4.0, 1.0, 2.5)
        });
        let block = fold(prior, 5.0, 12.5, (4.0, 0.95));
        assert!((even.shape - block.shape).abs() < 1e-9);
        assert!((even.rate - block.rate).abs() < 1e-9);
    }

    /// Services as long as these in turn, forty of each.
    fn chosen(minutes: [f64; 4]) -> f64 {
        let each = |minutes: f64| {
            let uneven = [0.7, 1.4, 0.9, 1.0].into_iter().cycle().take(40);
            uneven.map(move |share| Entry::Done {
                carriers: 1.0,
                minutes: minutes * share,
            })
        };
        let entries: Vec<Entry> = minutes.into_iter().flat_map(each).collect();
        let told = Told {
            entries: &entries,
            prior: Posterior::prior(0.3, 3.0),
            usual: Total {
                carriers: 160.0,
                minutes: 40.0 * minutes.iter().sum::<f64>(),
            },
        };
        kept(&[told], 9.0)
    }

    #[test]
    fn an_even_pace_is_remembered_long_and_a_changing_one_is_not() {
        assert!(chosen([3.0; 4]) > 0.985, "{}", chosen([3.0; 4]));
        let changing = chosen([3.0, 5.0, 2.5, 4.5]);
        assert!(changing < 0.955, "{changing}");
    }
}
