//! Chores the flow raises by itself, and settles by itself, after each command.
//!
//! A pure function of the state: what is true now and not yet raised is raised, what is raised and
//! no longer true is settled. So a chore is raised once and not again until its cause has passed.

use super::amount::Amount;
use super::event::{ChoreKind, Event};
use super::ids::*;
use super::plan::{Nature, Station};
use super::state::{Phase, PotState, State};
use std::collections::BTreeSet;

/// The events that follow from the day as it stands.
pub(super) fn follow_up(state: &State) -> Vec<Event> {
    let due = match state.phase {
        Phase::None => return Vec::new(),
        Phase::Open => due(state),
        // After the close nothing stands in the kitchen any more but what the seal checks leave.
        Phase::Closed => to_shelve(state),
    };
    let mut events = Vec::new();
    for kind in &state.raised {
        if due.contains(kind) || stays_until_done(state, kind) || state.phase == Phase::Closed {
            continue;
        }
        if let Some(chore) = open_chore(state, kind) {
            events.push(Event::ChoreFinished {
                chore: chore.clone(),
                helper: None,
            });
        }
        events.push(Event::ChoreSettled { kind: kind.clone() });
    }
    let mut number = state.chores.len();
    for kind in due.difference(&state.raised) {
        let chore = free_id(state, kind, &mut number);
        events.push(Event::ChoreRaised {
            chore,
            kind: kind.clone(),
            text: text(state, kind),
        });
    }
    events
}

/// What is true now and wants a pair of hands.
fn due(state: &State) -> BTreeSet<ChoreKind> {
    let mut due = BTreeSet::new();
    if state.scraps_lb >= state.scraps_bucket_lb {
        due.insert(ChoreKind::Scraps {});
    }
    for (id, supply) in state.supplies.iter().filter(|(_, s)| !s.retired) {
        if supply.stock <= supply.plan.low_at {
            due.insert(ChoreKind::SupplyLow { supply: id.clone() });
        }
    }
    for (id, station) in state.stations.iter().filter(|(_, s)| !s.retired) {
        let station_plan = &station.plan;
        for (pot, found) in &station.pots {
            let (station, pot) = (id.clone(), pot.clone());
            if found.dirty {
                due.insert(ChoreKind::DirtyPot { station, pot });
            } else if unminded(state, station_plan, found) {
                due.insert(ChoreKind::UnmindedPot { station, pot });
            }
        }
    }
    due.extend(next_boxes(state));
    due.extend(to_shelve(state));
    due
}

/// Loads whose seals were all checked, with good ones among them. That stays true for ever, so the
/// chore is raised once and not again when it is done.
fn to_shelve(state: &State) -> BTreeSet<ChoreKind> {
    let checked = state.loads.iter().filter(|(_, load)| {
        load.checked.iter().any(|(_, jars)| jars.sealed > 0) && load.unchecked().is_empty()
    });
    checked
        .map(|(id, _)| ChoreKind::Shelve { load: id.clone() })
        .collect()
}

/// A pot that is stirred needs a pair of eyes.
fn unminded(state: &State, station: &Station, pot: &PotState) -> bool {
    let cooking = pot.batch.as_ref().and_then(|batch| batch.cooking.as_ref());
    let stirred = matches!(station.nature, Nature::Vessel { stir: Some(_), .. });
    cooking.is_some_and(|cooking| match &cooking.minder {
        None => stirred,
        Some(minder) => state.helpers.get(minder).is_some_and(|h| h.retired),
    })
}

/// The first station of a product has less than a carrier left while boxes are closed.
fn next_boxes(state: &State) -> Vec<ChoreKind> {
    let mut due = Vec::new();
    for (id, product) in state.products.iter().filter(|(_, p)| !p.retired) {
        let Some(first) = product.plan.route.first() else {
            continue;
        };
        let ready = state.stations.get(&first.station);
        let wanted = product.plan.wanted;
        let enough = wanted.is_some_and(|wanted| state.finished(id) + state.cooling(id) >= wanted);
        let hungry = state.waiting_at(&first.station, id) < first.carrier.holds;
        if enough || !hungry || !ready.is_some_and(|station| station.set_up) {
            continue;
        }
        let next = state.lots.iter().find(|(_, lot)| {
            !lot.retired
                && lot.plan.produce == product.plan.produce
                && lot.plan.measure == first.measure
                && lot.unopened > Amount::ZERO
        });
        due.extend(next.map(|(lot, _)| ChoreKind::NextBox {
            product: id.clone(),
            lot: lot.clone(),
        }));
    }
    due
}

/// Chores only a person can end.
fn stays_until_done(state: &State, kind: &ChoreKind) -> bool {
    matches!(kind, ChoreKind::Asked { .. }) && open_chore(state, kind).is_some()
}

fn open_chore<'a>(state: &'a State, kind: &ChoreKind) -> Option<&'a ChoreId> {
    let open = state
        .chores
        .iter()
        .find(|(_, chore)| chore.kind == *kind && chore.finished_at.is_none());
    open.map(|(id, _)| id)
}

fn free_id(state: &State, kind: &ChoreKind, number: &mut usize) -> ChoreId {
    let word = match kind {
        ChoreKind::Scraps {} => "scraps",
        ChoreKind::DirtyPot { .. } => "pot",
        ChoreKind::SupplyLow { .. } => "supply",
        ChoreKind::NextBox { .. } => "box",
        ChoreKind::UnmindedPot { .. } => "unminded",
        ChoreKind::Shelve { .. } => "shelve",
        ChoreKind::Asked { .. } => "asked",
    };
    loop {
        *number += 1;
        let id = ChoreId::try_from(format!("{word}-{number}")).expect("a short plain word");
        if !state.chores.contains_key(&id) {
            return id;
        }
    }
}

fn text(state: &State, kind: &ChoreKind) -> String {
    let pot_name = |station: &StationId, pot: &PotId| {
        let plan = state.stations.get(station).map(|found| &found.plan.nature);
        match plan {
            Some(Nature::Vessel { pots, .. }) => pots
                .get(pot)
                .map_or_else(|| pot.to_string(), |plan| plan.name.clone()),
            Some(_) | None => pot.to_string(),
        }
    };
    match kind {
        ChoreKind::Scraps {} => "Take the scraps bucket out".to_owned(),
        ChoreKind::DirtyPot { station, pot } => format!("Wash {}", pot_name(station, pot)),
        ChoreKind::SupplyLow { supply } => {
            let plan = state.supplies.get(supply).map(|found| &found.plan);
            let name = plan.map_or(supply.as_str(), |plan| plan.name.as_str());
            format!("Get more {name}")
        }
        ChoreKind::NextBox { product, lot } => {
            let plan = state.lots.get(lot).map(|found| &found.plan);
            let name = plan.map_or(lot.as_str(), |plan| plan.name.as_str());
            format!(
                "Bring the next box of {name} for {}",
                state.product_name(product)
            )
        }
        ChoreKind::UnmindedPot { station, pot } => {
            format!("Nobody minds {}: go to it now", pot_name(station, pot))
        }
        ChoreKind::Shelve { load } => {
            let number = state.load_number(load).unwrap_or_default();
            format!("Load {number}: bands off, wash, label, shelve")
        }
        ChoreKind::Asked { .. } => "A chore".to_owned(),
    }
}
