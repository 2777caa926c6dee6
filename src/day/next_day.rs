//! What a day leaves to do on the next: seals to check, then bands off, wash, label, shelve.
//!
//! A function of the state alone. For reminders outside the board; on the board itself the seal
//! check has its own screen and the rest is a chore. Invariant: a load stands here until the chore
//! that its last seal check raised is done, and never if its time was not full.

use super::event::ChoreKind;
use super::ids::LoadId;
use super::state::{Load, LoadPhase, State};
use super::time::Timestamp;
use crate::trade;
use std::collections::BTreeMap;

/// A lifted load that still asks for something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftToDo {
    /// Which load.
    pub load: LoadId,
    /// Its number on this day, from 1.
    pub number: usize,
    /// Jars whose seals are unchecked, by the product's name.
    pub unchecked: BTreeMap<String, u32>,
    /// Jars with a good seal so far, by the product's name.
    pub sealed: BTreeMap<String, u32>,
    /// From when the seals may be checked: the published least time of cooling (rule `cool-time`).
    pub from: Timestamp,
    /// Until when a jar that did not seal may be processed again (rule `unsealed-window`).
    pub by: Timestamp,
    /// When this last changed: lifted, or checked in part.
    pub changed_at: Timestamp,
}

/// Every such load, in the order in which they were lifted.
pub fn left_to_do(state: &State) -> Vec<LeftToDo> {
    let mut list: Vec<LeftToDo> = state
        .loads
        .iter()
        .filter_map(|(id, load)| left_of(state, id, load))
        .collect();
    list.sort_by_key(|left| left.number);
    list
}

fn left_of(state: &State, id: &LoadId, load: &Load) -> Option<LeftToDo> {
    if load.phase != LoadPhase::Lifted || load.short || is_shelved(state, id) {
        return None;
    }
    let lifted_at = load.lifted_at?;
    let mut unchecked: BTreeMap<String, u32> = BTreeMap::new();
    for ((product, _), jars) in load.unchecked() {
        let count = u32::try_from(jars.0 / 1000).unwrap_or(u32::MAX);
        *unchecked.entry(state.product_name(product)).or_default() += count;
    }
    let mut sealed: BTreeMap<String, u32> = BTreeMap::new();
    for (_, jars) in load.checked.iter().filter(|(_, jars)| jars.sealed > 0) {
        *sealed.entry(state.product_name(&jars.product)).or_default() += jars.sealed;
    }
    if unchecked.is_empty() && sealed.is_empty() {
        return None;
    }
    Some(LeftToDo {
        load: id.clone(),
        number: state.load_number(id)?,
        unchecked,
        sealed,
        from: lifted_at.plus_minutes(trade::cooling_hours().value.low * 60),
        by: lifted_at.plus_minutes(trade::reprocess_hours().value * 60),
        changed_at: load.checked.last().map_or(lifted_at, |(at, _)| *at),
    })
}

/// Whether the chore after its seal check is done.
fn is_shelved(state: &State, id: &LoadId) -> bool {
    let about = ChoreKind::Shelve { load: id.clone() };
    let mut chores = state.chores.values();
    chores.any(|chore| chore.kind == about && chore.finished_at.is_some())
}
