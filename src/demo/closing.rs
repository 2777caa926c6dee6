//! The end of the day, by the lead: what is too little for a package is eaten, then the day closes.

use super::look::Look;
use super::mind::Mind;
use super::work::workable;
use crate::day::amount::Amount;
use crate::day::command::{Command, Destination};
use crate::day::event::ChoreKind;
use crate::day::ids::*;
use crate::day::plan::{Ending, Nature};

pub(super) fn next(mind: &mut Mind, look: &Look<'_>) -> Option<Command> {
    if !look.is_lead() || !is_worked_up(look) {
        return None;
    }
    leftovers(look)
        .and_then(|command| mind.untried(command))
        .or_else(|| close(mind, look))
}

/// Whether no fruit is left in boxes, pots, canners or on tables that anybody could work on.
fn is_worked_up(look: &Look<'_>) -> bool {
    let sight = look.sight;
    let stands = sight.stations.values().any(|station| {
        station.pots.values().any(|pot| pot.product.is_some())
            || station.canners.values().any(|canner| canner.load.is_some())
    });
    let boxes = sight
        .lots
        .values()
        .any(|lot| lot.unopened > Amount::ZERO && !is_for_stock(look, &lot.produce));
    !stands && !boxes && !sight.stations.iter().any(|(id, _)| has_work(look, id))
}

fn is_for_stock(look: &Look<'_>, produce: &str) -> bool {
    let mut products = look
        .sight
        .products
        .values()
        .filter(|p| p.produce == produce);
    products.any(|product| matches!(product.ends_in, Ending::Stocked { .. }))
}

fn has_work(look: &Look<'_>, id: &StationId) -> bool {
    let Some(station) = look.sight.stations.get(id) else {
        return false;
    };
    station.waiting.keys().any(|product| {
        let Some(found) = look.sight.products.get(product) else {
            return false;
        };
        match station.nature {
            Nature::Hand {} => workable(look, (id, station), product).is_some(),
            Nature::Vessel { .. } | Nature::Canner { .. } => true,
            Nature::Hold { .. } => matches!(found.ends_in, Ending::Frozen { .. }),
        }
    })
}

/// The next remainder that makes no whole package: eaten now.
fn leftovers(look: &Look<'_>) -> Option<Command> {
    for (id, station) in &look.sight.stations {
        if !matches!(station.nature, Nature::Hand {}) {
            continue;
        }
        for (product, queue) in &station.waiting {
            let found = look.sight.products.get(product)?;
            if is_for_stock(look, &found.produce) {
                continue;
            }
            return Some(Command::Divert {
                station: id.clone(),
                product: product.clone(),
                lot: None,
                amount: queue.amount,
                to: Destination::Fresh {},
                becomes: None,
            });
        }
    }
    None
}

/// The kitchen is clean and the day can be closed.
fn close(mind: &Mind, look: &Look<'_>) -> Option<Command> {
    let dirty = look.sight.chores.values().any(|chore| match chore.kind {
        ChoreKind::DirtyPot { .. } | ChoreKind::Scraps {} => true,
        ChoreKind::SupplyLow { .. }
        | ChoreKind::NextBox { .. }
        | ChoreKind::UnmindedPot { .. }
        | ChoreKind::Shelve { .. }
        | ChoreKind::Asked { .. } => false,
    });
    (!dirty)
        .then_some(Command::CloseDay {})
        .and_then(|close| mind.untried(close))
}
