//! How long a queue really is: minutes of work that wait, for those who do it.

mod dry;

use super::model::{Model, usual_rates};
use crate::day::state::State;
use crate::sim::{Uncertain, Works};

pub use dry::dry_in_min;

/// By station: minutes of work that wait there now. For those who sit there; for one usual helper
/// if nobody does; for the pots or canners there are, by their whole cycles. Closed boxes do not
/// wait.
pub fn depth_min(model: &Model, state: &State) -> Vec<f64> {
    let usual = usual_rates(model, state);
    let mut depth = vec![0.0; model.network.stations.len()];
    for (number, stop) in model.network.stops.iter().enumerate() {
        let waits = model.open_at(number);
        if waits > 0.0 {
            depth[stop.station] += work_min(model, &usual, number, waits);
        }
    }
    depth
}

/// Minutes that so much takes at a stop, by those who do it now; `usual` are the rates of one
/// helper for where nobody sits.
pub(super) fn work_min(
    model: &Model,
    usual: &[Option<Uncertain>],
    number: usize,
    amount: f64,
) -> f64 {
    let stop = &model.network.stops[number];
    match &model.network.stations[stop.station].works {
        Works::Hands => {
            let seated = seated_rate(model, number);
            let one = || usual[number].as_ref().map_or(0.0, Uncertain::mean);
            let rate = if seated > 0.0 { seated } else { one() };
            if rate > 0.0 {
                amount / stop.carrier / rate
            } else {
                0.0
            }
        }
        Works::Batches(batches) => {
            let loads = (amount / stop.fits - 1e-9).ceil();
            loads * stop.time.mean() / f64::from(batches.servers.max(1))
        }
        Works::Servers(_) => 0.0,
    }
}

/// Carriers a minute at a stop by those who sit at its station.
pub(super) fn seated_rate(model: &Model, stop: usize) -> f64 {
    let station = model.network.stops[stop].station;
    let helpers = model.network.helpers.iter().zip(&model.start.seats);
    let here = helpers.filter(|(helper, seat)| **seat == Some(station) && !rests_now(helper));
    here.filter_map(|(helper, _)| helper.rates[stop].as_ref().map(Uncertain::mean))
        .sum()
}

fn rests_now(helper: &crate::sim::Helper) -> bool {
    helper
        .away
        .iter()
        .any(|(from, until)| *from <= 0.0 && *until > 0.0)
}
