//! The loads with their times, and how long each canner stood idle between them.

use super::figures::{LoadTold, Packages};
use super::stations::is_kept;
use crate::day::ids::{CannerId, LoadId, StationId};
use crate::day::state::{Load, State};
use crate::day::time::Timestamp;
use std::collections::BTreeMap;

/// Tells of every load that was not taken apart.
pub(super) fn told(state: &State) -> BTreeMap<LoadId, LoadTold> {
    let kept = state.loads.iter().filter(|(_, load)| is_kept(load));
    let mut told: BTreeMap<LoadId, LoadTold> = kept
        .map(|(id, load)| (id.clone(), load_told(load)))
        .collect();
    for (id, idle_ms) in idle_before(&told) {
        if let Some(load) = told.get_mut(&id) {
            load.canner_idle_before_ms = Some(idle_ms);
        }
    }
    told
}

fn load_told(load: &Load) -> LoadTold {
    let mut jars = BTreeMap::new();
    for part in &load.jars {
        let count: &mut Packages = jars.entry(part.product.clone()).or_default();
        count.0 += part.portion.amount();
    }
    let first_boil = load.lost.first().map(|(began, _)| *began).or(load.boil_at);
    LoadTold {
        station: load.station.clone(),
        canner: load.canner.clone(),
        jars,
        minutes: load.process.tested.minutes,
        built_at: load.built_at,
        heated_at: load.heated_at,
        heat_up_ms: span(load.heated_at, first_boil),
        boil_at: load.boil_at,
        process_ms: span(load.boil_at, load.heat_off_at),
        boils_lost: load.lost.clone(),
        heat_off_at: load.heat_off_at,
        lifted_at: load.lifted_at,
        canner_idle_before_ms: None,
        short: load.short,
        fate: load.fate,
        broken: load.broken.clone(),
    }
}

fn span(from: Option<Timestamp>, to: Option<Timestamp>) -> Option<i64> {
    Some(to?.ms_since(from?))
}

/// From lifting one load to heating the next in the same canner.
fn idle_before(loads: &BTreeMap<LoadId, LoadTold>) -> Vec<(LoadId, i64)> {
    let heated = loads
        .iter()
        .filter_map(|(id, load)| Some((place(load), load.heated_at?, id, load.lifted_at)));
    let mut heated: Vec<_> = heated.collect();
    heated.sort();
    let mut lifted: BTreeMap<(&StationId, &CannerId), Timestamp> = BTreeMap::new();
    let mut idle = Vec::new();
    for (canner, heated_at, id, lifted_at) in heated {
        if let Some(before) = lifted.get(&canner) {
            idle.push((id.clone(), heated_at.ms_since(*before)));
        }
        if let Some(lifted_at) = lifted_at {
            lifted.insert(canner, lifted_at);
        }
    }
    idle
}

fn place(load: &LoadTold) -> (&StationId, &CannerId) {
    (&load.station, &load.canner)
}
