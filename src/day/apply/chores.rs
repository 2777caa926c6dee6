//! What events about chores and notes change.

use crate::day::amount::Amount;
use crate::day::event::{ChoreKind, Event};
use crate::day::state::{Chore, Gathered, Note, State};
use crate::day::time::Timestamp;

pub(super) fn apply(state: &mut State, at: Timestamp, event: &Event) {
    match event {
        Event::ChoreRaised { chore, kind, text } => {
            state.raised.insert(kind.clone());
            let raised = Chore {
                kind: kind.clone(),
                text: text.clone(),
                raised_at: at,
                taken_by: None,
                finished_at: None,
            };
            state.chores.insert(chore.clone(), raised);
        }
        Event::ChoreTaken { chore, helper } => {
            if let Some(chore) = state.chores.get_mut(chore) {
                chore.taken_by = Some(helper.clone());
            }
        }
        Event::ChoreFinished { chore, .. } => {
            let Some(chore) = state.chores.get_mut(chore) else {
                return;
            };
            chore.finished_at = Some(at);
            let kind = chore.kind.clone();
            settle_by_hand(state, &kind);
        }
        Event::ChoreSettled { kind } => {
            state.raised.remove(kind);
        }
        Event::Noted { on, text } => state.notes.push(Note {
            at,
            on: on.clone(),
            text: text.clone(),
        }),
        Event::Gathered { item, have, helper } => match have {
            Some(have) => {
                let found = Gathered {
                    have: *have,
                    helper: helper.clone(),
                    at,
                };
                state.gathered.insert(item.clone(), found);
            }
            None => {
                state.gathered.remove(item);
            }
        },
        other => unreachable!("{other:?} is not about chores"),
    }
}

/// What a finished chore changes in the kitchen.
fn settle_by_hand(state: &mut State, kind: &ChoreKind) {
    match kind {
        ChoreKind::Scraps {} => state.scraps_lb = Amount::ZERO,
        ChoreKind::DirtyPot { station, pot } => {
            let station = state.stations.get_mut(station);
            if let Some(pot) = station.and_then(|station| station.pots.get_mut(pot)) {
                pot.dirty = false;
            }
        }
        ChoreKind::SupplyLow { .. }
        | ChoreKind::NextBox { .. }
        | ChoreKind::UnmindedPot { .. }
        | ChoreKind::Shelve { .. }
        | ChoreKind::Asked { .. } => {}
    }
}
