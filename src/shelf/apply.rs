//! `apply`: what an event changes. Total and without rules: whatever happened, happened.

use super::command::{LotRef, Verdict};
use super::event::Event;
use super::state::{Done, Ledger, Recall, State};
use crate::day::amount::Amount;
use crate::day::time::Timestamp;
use crate::trace::Place;
use uuid::Uuid;

/// Applies one event that came with `command` at `at`.
pub fn apply(state: &mut State, at: Timestamp, command: Uuid, event: &Event) {
    if let Event::Undone { command } = event {
        let found = state.done.iter_mut().find(|done| done.command == *command);
        if let Some(done) = found
            && !done.undone
        {
            done.undone = true;
            let event = done.event.clone();
            change(state, at, &event, Way::Back);
        }
    } else {
        change(state, at, event, Way::There);
    }
    state.done.push(Done {
        command,
        at,
        event: event.clone(),
        undone: false,
    });
}

/// Whether an event happens or is taken back.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    There,
    Back,
}

impl Way {
    fn of(self, amount: Amount) -> Amount {
        match self {
            Way::There => amount,
            Way::Back => Amount::ZERO - amount,
        }
    }
}

fn change(state: &mut State, at: Timestamp, event: &Event, way: Way) {
    match event {
        Event::Taken {
            lot,
            place,
            packages,
        } => ledger(state, lot, *place).taken += way.of(*packages),
        Event::Judged { lot, verdict } => judge(state, lot, *verdict, way),
        Event::Moved {
            lot,
            from,
            to,
            packages,
        } => {
            ledger(state, lot, *from).moved_out += way.of(*packages);
            ledger(state, lot, *to).moved_in += way.of(*packages);
        }
        Event::Discarded {
            lot,
            place,
            packages,
            ..
        } => ledger(state, lot, *place).discarded += way.of(*packages),
        Event::Corrected {
            lot,
            place,
            packages,
            was,
        } => ledger(state, lot, *place).corrected += way.of(*packages - *was),
        Event::Recalled { batch, reason } => {
            if way == Way::There {
                let reason = reason.clone();
                state.recalls.insert(batch.clone(), Recall { at, reason });
            } else {
                state.recalls.remove(batch);
            }
        }
        Event::RecallEnded {
            batch,
            reason,
            since,
        } => {
            if way == Way::There {
                state.recalls.remove(batch);
            } else {
                let (reason, at) = (reason.clone(), *since);
                state.recalls.insert(batch.clone(), Recall { at, reason });
            }
        }
        // Taking back is not itself taken back: the order is given anew.
        Event::Undone { .. } => {}
    }
}

fn ledger<'a>(state: &'a mut State, lot: &LotRef, place: Place) -> &'a mut Ledger {
    let kept = state.kept.entry(lot.clone()).or_default();
    kept.places.entry(place).or_default()
}

fn judge(state: &mut State, lot: &LotRef, verdict: Verdict, way: Way) {
    let kept = state.kept.entry(lot.clone()).or_default();
    let count = kept.judged.entry(verdict).or_default();
    *count = match way {
        Way::There => count.saturating_add(1),
        Way::Back => count.saturating_sub(1),
    };
}
