//! Who took which alarm, and who is hurt, in the public view.

use crate::day::alarms::AGAIN_MIN;
use crate::day::command::HurtKind;
use crate::day::ids::*;
use crate::day::state::State;
use crate::day::time::Timestamp;
use serde::Serialize;
use std::collections::BTreeMap;

/// A taken alarm.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct TakenView {
    pub by: HelperId,
    pub at: Timestamp,
    /// When it rings again, while its work is not done.
    pub again_at: Timestamp,
}

/// Someone is hurt.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct HurtView {
    pub at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub helper: Option<HelperId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station: Option<StationId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<HurtKind>,
}

pub(super) fn taken(state: &State) -> BTreeMap<String, TakenView> {
    let running = state.alarms().map(|alarm| alarm.key());
    running
        .filter_map(|key| {
            let taken = state.alarms_taken.get(&key)?;
            let view = TakenView {
                by: taken.helper.clone(),
                at: taken.at,
                again_at: taken.at.plus_minutes(AGAIN_MIN),
            };
            Some((key, view))
        })
        .collect()
}

pub(super) fn hurts(state: &State) -> BTreeMap<HurtId, HurtView> {
    let open = state.hurts.iter().filter(|(_, hurt)| hurt.is_open());
    open.map(|(id, hurt)| {
        let view = HurtView {
            at: hurt.at,
            helper: hurt.helper.clone(),
            station: hurt.station.clone(),
            kind: hurt.kind,
        };
        (id.clone(), view)
    })
    .collect()
}
