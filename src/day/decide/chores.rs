//! Orders about chores and notes.

use super::{Decision, boxes, find, may_handle};
use crate::day::amount::Amount;
use crate::day::command::{Command, NoteOn};
use crate::day::event::{ChoreKind, Event};
use crate::day::gather;
use crate::day::ids::{ChoreId, HelperId};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{Chore, Phase, State};

/// How many notes a day holds, and how many open chores.
const NOTES_MAX: usize = 500;
const CHORES_OPEN_MAX: usize = 100;

pub(super) fn decide(state: &State, command: &Command) -> Decision {
    match command {
        Command::RaiseChore {
            chore,
            text,
            station,
        } => {
            find::words(text)?;
            if let Some(station) = station {
                find::station(state, station)?;
            }
            room_for_chore(state, chore)?;
            Ok(vec![Event::ChoreRaised {
                chore: chore.clone(),
                kind: ChoreKind::Asked {
                    station: station.clone(),
                    name: chore.clone(),
                },
                text: text.clone(),
            }])
        }
        Command::TakeChore { chore, helper } => {
            open_chore(state, chore)?;
            find::present_helper(state, helper)?;
            Ok(vec![Event::ChoreTaken {
                chore: chore.clone(),
                helper: helper.clone(),
            }])
        }
        Command::FinishChore { chore, helper } => finish(state, chore, helper.as_ref()),
        Command::Note { on, text } => {
            find::words(text)?;
            note_target(state, on)?;
            if state.notes.len() >= NOTES_MAX {
                return Err(find::bad(
                    format!("The day has {NOTES_MAX} notes already."),
                    "Write the rest on paper.",
                ));
            }
            Ok(vec![Event::Noted {
                on: on.clone(),
                text: text.clone(),
            }])
        }
        Command::Gather { item, have, helper } => gathered(state, item, *have, helper.as_ref()),
        other => unreachable!("{other:?} is not about chores or notes"),
    }
}

fn room_for_chore(state: &State, id: &ChoreId) -> Result<(), Refusal> {
    if state.chores.contains_key(id) {
        return Err(Refusal::new(
            Code::IdTaken,
            format!("There is a chore {id} already."),
            "Give the new one another id.",
        ));
    }
    let open = state.chores.values().filter(|c| c.finished_at.is_none());
    if open.count() >= CHORES_OPEN_MAX {
        return Err(find::bad(
            format!("{CHORES_OPEN_MAX} chores are open already."),
            "Finish some first.",
        ));
    }
    Ok(())
}

fn open_chore<'a>(state: &'a State, id: &ChoreId) -> Result<&'a Chore, Refusal> {
    let chore = state.chores.get(id);
    let chore = chore.ok_or_else(|| find::unknown("chore", id.as_str()))?;
    if chore.finished_at.is_none() {
        return Ok(chore);
    }
    Err(Refusal::new(
        Code::ChoreFinished,
        format!("\"{}\" is done already.", chore.text),
        "Nothing to do.",
    )
    .with("chore", &chore.text))
}

/// A finished chore does what it says: the next box is opened, the pot is clean or minded.
fn finish(state: &State, id: &ChoreId, helper: Option<&HelperId>) -> Decision {
    let chore = open_chore(state, id)?;
    if let Some(helper) = helper {
        find::helper(state, helper)?;
    }
    let mut events = Vec::new();
    if let (ChoreKind::NextBox { product, lot }, Phase::Open) = (&chore.kind, state.phase) {
        events.push(boxes::open_box(state, lot, product, None)?);
    }
    if let ChoreKind::UnmindedPot { station, pot } = &chore.kind {
        let minder = helper.ok_or_else(|| {
            Refusal::new(
                Code::NeedsMinder,
                "The pot still has nobody.",
                "Say who minds it from now on.",
            )
        })?;
        may_handle(state, station, minder)?;
        events.push(Event::PotHandedOver {
            station: station.clone(),
            pot: pot.clone(),
            minder: Some(minder.clone()),
            backup: None,
        });
    }
    events.push(Event::ChoreFinished {
        chore: id.clone(),
        helper: helper.cloned(),
    });
    Ok(events)
}

fn gathered(
    state: &State,
    item: &str,
    have: Option<Amount>,
    helper: Option<&HelperId>,
) -> Decision {
    if !gather::lists(state, item) {
        return Err(find::unknown("thing to gather", item));
    }
    if let Some(helper) = helper {
        find::helper(state, helper)?;
    }
    let counts = |have: &Amount| *have == Amount::ZERO || have.is_sensible();
    if !have.as_ref().is_none_or(counts) {
        return Err(find::bad(
            "That is no count.",
            "Say how many are there: 0, or up to a million.",
        ));
    }
    Ok(vec![Event::Gathered {
        item: item.to_owned(),
        have,
        helper: helper.cloned(),
    }])
}

fn note_target(state: &State, on: &NoteOn) -> Result<(), Refusal> {
    match on {
        NoteOn::Day => Ok(()),
        NoteOn::Lot(lot) => find::lot(state, lot).map(|_| ()),
        NoteOn::Station(station) => find::station(state, station).map(|_| ()),
        NoteOn::Product(product) => find::product(state, product).map(|_| ()),
        NoteOn::Load(load) => match state.loads.get(load) {
            Some(_) => Ok(()),
            None => Err(find::unknown("load", load.as_str())),
        },
    }
}
