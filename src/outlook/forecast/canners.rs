//! Loads to come: how many, when, and how long their canners stand empty before.

use super::{Forecast, quantile, sorted};
use crate::outlook::make::tenths;
use crate::outlook::model::Model;
use crate::outlook::report::CannerOutlook;
use crate::sim::{Outcome, Works};

/// At most so many loads are told in advance.
const TOLD: usize = 6;

/// Takes the batches of a simulated day into the account.
pub(super) fn take(found: &mut Forecast, model: &Model, outcome: &Outcome) {
    for (number, station) in model.network.stations.iter().enumerate() {
        let Works::Batches(batches) = &station.works else {
            continue;
        };
        let of = |stop: usize| model.network.stops[stop].station == number;
        let here: Vec<_> = outcome
            .batches
            .iter()
            .filter(|batch| of(batch.stop))
            .collect();
        let begun = here.iter().filter(|batch| batch.began_min >= 0.0);
        // Loads under way at the start have stops of their own; pots begin before minute 0.
        let fresh = begun.filter(|batch| !is_under_way(model, batch.stop));
        let starts = sorted(fresh.map(|batch| batch.began_min).collect());
        if let Some(last) = starts.last().copied() {
            let busy: f64 = here
                .iter()
                .map(|batch| (batch.ended_min.min(last) - batch.began_min.max(0.0)).max(0.0))
                .sum();
            found.idle_min[number] += (f64::from(batches.servers) * last - busy).max(0.0);
        }
        found.starts[number].push(starts);
    }
}

/// Whether a stop stands for a load that was in its canner at the start.
fn is_under_way(model: &Model, stop: usize) -> bool {
    let place = &model.stops[stop];
    model.stop(&place.station, &place.product) != Some(stop)
}

/// What is told of a canner station.
pub fn canner(found: &Forecast, model: &Model, station: usize) -> CannerOutlook {
    let days = found.starts.get(station).map_or(&[][..], Vec::as_slice);
    let counts = sorted(days.iter().map(|starts| starts.len() as f64).collect());
    let whole = |share: f64| quantile(&counts, share).round() as u32;
    let next = (0..TOLD).map_while(|load| {
        let at = sorted(
            days.iter()
                .filter_map(|starts| starts.get(load).copied())
                .collect(),
        );
        // Told only if it is more likely than not to be needed.
        (!at.is_empty() && at.len() * 2 >= days.len()).then(|| model.band(&at))
    });
    CannerOutlook {
        loads_p50: whole(0.5),
        loads_p90: whole(0.9),
        next: next.collect(),
        idle_min: tenths(found.idle_min.get(station).copied().unwrap_or(0.0)),
    }
}
