//! The loads in the public view.

use crate::day::amount::Amount;
use crate::day::command::{LoadJars, ShortFate};
use crate::day::event::LoadProcess;
use crate::day::ids::*;
use crate::day::state::{Load, LoadPhase, State};
use crate::day::time::Timestamp;
use crate::trade;
use serde::Serialize;
use std::collections::BTreeMap;

/// A load that was not taken apart.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct LoadView {
    pub station: StationId,
    pub canner: CannerId,
    pub phase: LoadPhase,
    pub jars: BTreeMap<ProductId, BTreeMap<LotId, Amount>>,
    pub jar_count: Amount,
    pub process: LoadProcess,
    pub built_at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heated_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boil_at: Option<Timestamp>,
    /// When its time is over; absent while the time does not run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub done_at: Option<Timestamp>,
    /// When the jars have stood long enough with the heat off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_until: Option<Timestamp>,
    /// How often the boil was lost.
    pub lost: usize,
    /// Whether its time was not full: not for the shelf.
    pub short: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lifted_at: Option<Timestamp>,
    pub broken: Vec<LoadJars>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fate: Option<ShortFate>,
}

pub(super) fn view(state: &State) -> BTreeMap<LoadId, LoadView> {
    let kept = state
        .loads
        .iter()
        .filter(|(_, load)| load.phase != LoadPhase::Cancelled);
    kept.map(|(id, load)| (id.clone(), load_view(load)))
        .collect()
}

fn load_view(load: &Load) -> LoadView {
    let mut jars: BTreeMap<ProductId, BTreeMap<LotId, Amount>> = BTreeMap::new();
    for part in &load.jars {
        let lots = jars.entry(part.product.clone()).or_default();
        *lots.entry(part.portion.lot.clone()).or_default() += part.portion.amount();
    }
    let rest = trade::rest_minutes().value;
    LoadView {
        station: load.station.clone(),
        canner: load.canner.clone(),
        phase: load.phase,
        jars,
        jar_count: load.jar_count(),
        process: load.process.clone(),
        built_at: load.built_at,
        heated_at: load.heated_at,
        boil_at: load.boil_at,
        done_at: load.done_at(),
        rest_until: load.heat_off_at.map(|at| at.plus_minutes(rest)),
        lost: load.lost.len(),
        short: load.short,
        lifted_at: load.lifted_at,
        broken: load.broken.clone(),
        fate: load.fate,
    }
}
