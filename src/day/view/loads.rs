//! The loads in the public view.

use crate::day::amount::Amount;
use crate::day::command::{CheckedJars, LoadJars, ShortFate};
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
    /// When venting began, and when it is over; only in a pressure canner.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vented_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vent_until: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boil_at: Option<Timestamp>,
    /// When its time is over; absent while the time does not run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub done_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_off_at: Option<Timestamp>,
    /// When the pressure had come to zero; only in a pressure canner.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zero_at: Option<Timestamp>,
    /// When the jars have stood long enough with the heat off (or the pressure at zero).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_until: Option<Timestamp>,
    /// Milliseconds that count for nothing because the board was off: look at the load.
    #[serde(skip_serializing_if = "is_zero")]
    pub unknown_ms: i64,
    /// How often the boil was lost.
    pub lost: usize,
    /// Whether its time was not full: not for the shelf.
    pub short: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lifted_at: Option<Timestamp>,
    pub broken: Vec<LoadJars>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fate: Option<ShortFate>,
    /// From when the seals may be checked, and until when a failed jar may be processed again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seals_from: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seals_by: Option<Timestamp>,
    /// Jars on the rack whose seals are unchecked.
    pub unchecked: BTreeMap<ProductId, BTreeMap<LotId, Amount>>,
    /// How its jars were found.
    pub checked: Vec<CheckedView>,
}

/// A seal check of one product and lot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the command")]
pub struct CheckedView {
    pub at: Timestamp,
    #[serde(flatten)]
    pub jars: CheckedJars,
}

fn is_zero(ms: &i64) -> bool {
    *ms == 0
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
    let cools = load.lifted_at.filter(|_| !load.short);
    let hours_later = |hours: u32| cools.map(|at| at.plus_minutes(hours * 60));
    let mut unchecked: BTreeMap<ProductId, BTreeMap<LotId, Amount>> = BTreeMap::new();
    for ((product, lot), left) in load.unchecked() {
        let lots = unchecked.entry(product.clone()).or_default();
        lots.insert(lot.clone(), left);
    }
    LoadView {
        station: load.station.clone(),
        canner: load.canner.clone(),
        phase: load.phase,
        jars,
        jar_count: load.jar_count(),
        process: load.process.clone(),
        built_at: load.built_at,
        heated_at: load.heated_at,
        vented_at: load.vented_at,
        vent_until: load.vent_until(),
        boil_at: load.boil_at,
        done_at: load.done_at(),
        heat_off_at: load.heat_off_at,
        zero_at: load.zero_at,
        rest_until: load.rest_until(),
        unknown_ms: load.unknown_ms,
        lost: load.lost.len(),
        short: load.short,
        lifted_at: load.lifted_at,
        broken: load.broken.clone(),
        fate: load.fate,
        seals_from: hours_later(trade::cooling_hours().value.low),
        seals_by: hours_later(trade::reprocess_hours().value),
        unchecked,
        checked: load
            .checked
            .iter()
            .map(|(at, jars)| CheckedView {
                at: *at,
                jars: jars.clone(),
            })
            .collect(),
    }
}
