//! Hot water in time.

use crate::day::ids::StationId;
use crate::day::plan::Nature;
use crate::day::state::State;
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::outlook::Settings;
use crate::outlook::compare::Kitchen;
use crate::outlook::model::Model;
use crate::outlook::report::Win;
use crate::pace::Pace;

/// Water of a load that was lifted less than so many minutes ago is hot enough (common practice, no
/// source).
const STAYS_HOT_MIN: i64 = 30;
/// Minutes before it is needed that water may be hot: it loses nothing by waiting.
const SPARE_MIN: f64 = 5.0;
/// Simulated days for the moment the first jars come.
const DAYS: u64 = 50;

/// The canners whose water should go on now.
pub(super) fn wins(
    state: &State,
    pace: &Pace,
    model: &Model,
    now: Timestamp,
    settings: &Settings,
) -> Vec<Win> {
    let cold = state.stations.iter().filter(|(id, station)| {
        let canner = matches!(station.plan.nature, Nature::Canner { .. });
        canner && !station.retired && is_cold(state, id, now)
    });
    let wins = cold.filter_map(|(id, _)| {
        let jars_in_min = first_load_in(model, id, settings.seed)?;
        let heating = pace.canner(id).heating.mean;
        (jars_in_min <= heating + SPARE_MIN).then(|| Win::HeatWater {
            station: id.clone(),
            jars_in_min,
        })
    });
    wins.collect()
}

/// Whether no load is in a canner there, nor was a moment ago.
fn is_cold(state: &State, id: &StationId, now: Timestamp) -> bool {
    let lifted = |at: Timestamp| now.ms_since(at) < STAYS_HOT_MIN * MINUTE_MS;
    let warm = state.loads.values().any(|load| {
        load.station == *id && (load.is_in_canner() || load.lifted_at.is_some_and(lifted))
    });
    !warm
}

/// Minutes until a first load is ready to go in, in the middle; `None` if none comes.
fn first_load_in(model: &Model, id: &StationId, seed: u64) -> Option<f64> {
    let station = model.station(id)?;
    let networks = std::slice::from_ref(&model.network);
    let mut kitchen =
        Kitchen::of_networks(networks, &model.start, &|day| day.finish_min, seed).ok()?;
    let mut began: Vec<f64> = (0..DAYS)
        .filter_map(|day| {
            let batches = &kitchen.day(0, day).batches;
            let here = |stop: usize| model.network.stops[stop].station == station;
            let first = batches
                .iter()
                .find(|batch| here(batch.stop) && batch.began_min >= 0.0);
            first.map(|batch| batch.began_min)
        })
        .collect();
    began.sort_by(f64::total_cmp);
    began.get(began.len() / 2).copied()
}
