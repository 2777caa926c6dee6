//! Clocks on food that waits: how long it may stand, and when filling should be held back.
//!
//! Moments only, from the state alone; the screens compare them with the time.

use crate::day::amount::Amount;
use crate::day::event::Onward;
use crate::day::ids::*;
use crate::day::plan::{Ending, Nature, Work};
use crate::day::state::{Load, LoadPhase, State};
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::trade;
use serde::Serialize;

/// What stands, and why that matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words say it")]
pub enum Stands {
    FilledJars,
    CutFruit,
    CookedPulp,
}

/// The clock on the oldest of a queue.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct StandsView {
    pub why: Stands,
    pub warn_at: Timestamp,
    pub urge_at: Timestamp,
    /// The published limit of two hours at room temperature.
    pub limit_at: Timestamp,
}

/// Filling should wait.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct HoldView {
    /// From then on a jar filled here finds a canner within ten minutes; absent while the canner
    /// that is next still comes to heat, since nobody knows when that is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<Timestamp>,
}

/// Minutes until peeled or cut fruit has stood its two hours at room temperature (University of
/// Nebraska-Lincoln Extension, on cut fruit); the earlier marks are common practice, no source.
const FOOD_MARKS_MIN: [u32; 3] = [60, 90, 120];
/// Minutes for filled jars: the first two common practice, no source; the last as above.
const JAR_MARKS_MIN: [u32; 3] = [10, 20, 120];
/// Jars may wait so long for a canner (common practice, no source).
const JARS_WAIT_MIN: i64 = 10;

/// The clock on what waits of a product at a station, if its kind has one.
pub(super) fn stands(
    state: &State,
    station: &StationId,
    product: &ProductId,
    oldest_at: Timestamp,
) -> Option<StandsView> {
    let why = kind(state, station, product)?;
    let [warn, urge, limit] = match why {
        Stands::FilledJars => JAR_MARKS_MIN,
        Stands::CutFruit | Stands::CookedPulp => FOOD_MARKS_MIN,
    };
    Some(StandsView {
        why,
        warn_at: oldest_at.plus_minutes(warn),
        urge_at: oldest_at.plus_minutes(urge),
        limit_at: oldest_at.plus_minutes(limit),
    })
}

fn kind(state: &State, station: &StationId, product: &ProductId) -> Option<Stands> {
    let nature = &state.stations.get(station)?.plan.nature;
    match nature {
        Nature::Canner { .. } => return Some(Stands::FilledJars),
        Nature::Hold { .. } => return None,
        Nature::Hand {} | Nature::Vessel { .. } => {}
    }
    let cut = [Work::Peel, Work::Slice];
    let cooked = [Work::Cook, Work::Strain, Work::Scald];
    let before = works_before(state, station, product);
    if before.iter().any(|work| cooked.contains(work)) {
        Some(Stands::CookedPulp)
    } else if before.iter().any(|work| cut.contains(work)) {
        Some(Stands::CutFruit)
    } else {
        None
    }
}

/// The kinds of work that lead straight to a place.
fn works_before(state: &State, station: &StationId, product: &ProductId) -> Vec<Work> {
    let here = Onward::Step {
        product: product.clone(),
        station: station.clone(),
    };
    let steps = state.products.iter().flat_map(|(id, from)| {
        let route = from.plan.route.iter();
        route.filter(|_| !from.retired).map(move |step| (id, step))
    });
    steps
        .filter(|(id, step)| state.ways_on(id, step).contains(&here))
        .filter_map(|(_, step)| state.stations.get(&step.station))
        .map(|station| station.plan.work)
        .collect()
}

/// When a canner is free.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Free {
    Now,
    At(Timestamp),
    /// It still comes to heat.
    Unknown,
}

/// Whether whatever waits to be filled at a station would find no canner in time, by the loads in
/// the canners.
pub(super) fn hold(state: &State, station: &StationId) -> Option<HoldView> {
    let canned = state
        .products
        .iter()
        .filter(|(id, product)| !product.retired && state.waiting_at(station, id) > Amount::ZERO);
    let free = canned.filter_map(|(id, product)| {
        let Ending::Canned { jar, .. } = product.plan.ends_in else {
            return None;
        };
        let Onward::Step { station, .. } = state.way_on(id, station)? else {
            return None;
        };
        next_free(state, &station, id, jar)
    });
    match free.min()? {
        Free::Now => None,
        Free::At(at) => Some(HoldView {
            until: Some(Timestamp(at.0 - JARS_WAIT_MIN * MINUTE_MS)),
        }),
        Free::Unknown => Some(HoldView { until: None }),
    }
}

/// When the canner for the next jar is free; `None` where the next station has no canners.
fn next_free(
    state: &State,
    station: &StationId,
    product: &ProductId,
    jar: trade::Jar,
) -> Option<Free> {
    let Nature::Canner { canners, .. } = &state.stations.get(station)?.plan.nature else {
        return None;
    };
    let mut free: Vec<(Free, i64)> = canners
        .iter()
        .filter_map(|(id, canner)| {
            let holds = i64::from(*canner.holds.get(&jar)?);
            let load = state.load_in(station, id).map(|(_, load)| load);
            Some((load.map_or(Free::Now, free_after), holds))
        })
        .collect();
    free.sort();
    let mut waiting = state.waiting_at(station, product).0 / Amount::whole(1).0;
    for (at, holds) in &free {
        if waiting < *holds {
            return Some(*at);
        }
        waiting -= holds;
    }
    // More wait than every canner takes at once: the next goes in a load that is not built yet.
    (!free.is_empty()).then_some(Free::Unknown)
}

/// When a load is out. A pressure canner falls to zero in twenty minutes or more (Michigan State
/// University Extension, Preserving Food Safely 01600948) and then stands.
fn free_after(load: &Load) -> Free {
    let stands = if load.is_pressure() {
        20 + trade::depressurise_minutes().value
    } else {
        trade::rest_minutes().value
    };
    let known = match load.phase {
        LoadPhase::Loading | LoadPhase::Heating | LoadPhase::Venting => None,
        LoadPhase::Timing => load.done_at().map(|at| at.plus_minutes(stands)),
        // Nobody knows when the pressure will be at zero.
        LoadPhase::Resting if load.is_pressure() => load
            .zero_at
            .map(|at| at.plus_minutes(trade::depressurise_minutes().value)),
        LoadPhase::Resting => load.heat_off_at.map(|at| at.plus_minutes(stands)),
        LoadPhase::Lifted | LoadPhase::Cancelled => return Free::Now,
    };
    known.map_or(Free::Unknown, Free::At)
}
