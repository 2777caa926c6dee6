//! Chores: taken, done in a few minutes, tapped off; the next box only when its time has come.

use super::look::Look;
use super::mind::Mind;
use super::sight::ChoreSight;
use super::work::after;
use crate::day::amount::Amount;
use crate::day::command::Command;
use crate::day::event::ChoreKind;
use crate::day::ids::*;
use crate::day::plan::{Ending, Verdict};
use rand::{Rng, RngExt};

/// Clean jars are fetched from the cellar when fewer than these are ready.
const JARS_READY: Amount = Amount::whole(12);
/// How much of a stock somebody brings when it runs low.
const BROUGHT: Amount = Amount::whole(12);
/// Minutes a chore takes (common practice).
const CHORE_MIN: f64 = 3.0;

pub(super) fn next(mind: &mut Mind, look: &Look<'_>, rng: &mut impl Rng) -> Option<Command> {
    if !look.person.does_chores {
        return None;
    }
    if let Some((chore, _)) = mind.chore.clone() {
        return finish(mind, look, &chore);
    }
    // Not everybody jumps up at once.
    if rng.random_range(0..4) > 0 {
        return None;
    }
    let mine = |(_, chore): &(&ChoreId, &ChoreSight)| {
        let open = chore.taken_by.as_ref().is_none_or(|taker| taker == look.me);
        open && is_time(look, &chore.kind)
    };
    let (id, _) = look.sight.chores.iter().find(mine)?;
    let command = mind.untried(Command::TakeChore {
        chore: id.clone(),
        helper: look.me.clone(),
    })?;
    mind.chore = Some((id.clone(), after(look, CHORE_MIN, rng)));
    Some(command)
}

fn finish(mind: &mut Mind, look: &Look<'_>, id: &ChoreId) -> Option<Command> {
    let Some(chore) = look.sight.chores.get(id) else {
        // Somebody else, or the flow itself, settled it.
        mind.chore = None;
        return None;
    };
    let command = match &chore.kind {
        ChoreKind::SupplyLow { supply } => {
            mind.chore = None;
            Command::Restock {
                supply: supply.clone(),
                amount: BROUGHT,
            }
        }
        ChoreKind::Scraps {}
        | ChoreKind::DirtyPot { .. }
        | ChoreKind::NextBox { .. }
        | ChoreKind::UnmindedPot { .. }
        | ChoreKind::Shelve { .. }
        | ChoreKind::Asked { .. } => Command::FinishChore {
            chore: id.clone(),
            helper: Some(look.me.clone()),
        },
    };
    mind.untried(command)
}

/// Whether a chore is for now, and for this person.
fn is_time(look: &Look<'_>, kind: &ChoreKind) -> bool {
    match kind {
        ChoreKind::Scraps {} | ChoreKind::Shelve { .. } | ChoreKind::Asked { .. } => true,
        ChoreKind::DirtyPot { station, .. } => look.may(station) != Verdict::Never,
        ChoreKind::SupplyLow { supply } => !is_washed_here(look, supply),
        // Those who mind the heat see it for themselves.
        ChoreKind::UnmindedPot { .. } => false,
        ChoreKind::NextBox { product, .. } => box_is_due(look, product),
    }
}

/// A stock that is fed by washing is not bought.
fn is_washed_here(look: &Look<'_>, supply: &SupplyId) -> bool {
    let mut products = look.sight.products.values();
    products.any(|product| match &product.ends_in {
        Ending::Stocked { supply: fed, .. } => fed == supply,
        Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. } => false,
        Ending::Shared {} => false,
    })
}

fn box_is_due(look: &Look<'_>, product: &ProductId) -> bool {
    let begins = look.cast.begins_min.get(product).copied().unwrap_or(0);
    let begun = look.minute() >= i64::from(begins);
    let ends_in = look
        .sight
        .products
        .get(product)
        .map(|product| &product.ends_in);
    let short = match ends_in {
        Some(Ending::Stocked { supply, .. }) => {
            let stock = look.sight.supplies.get(supply).map(|supply| supply.stock);
            stock.is_some_and(|stock| stock < JARS_READY)
        }
        Some(Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. }) => true,
        Some(Ending::Shared {}) => true,
        None => false,
    };
    begun && short
}
