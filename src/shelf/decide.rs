//! `decide`: whether a command may happen now, and what then happens.

use super::command::{BatchRef, Command, LotRef, Verdict};
use super::event::Event;
use super::refusal::{Code, Refusal};
use super::state::State;
use crate::day::amount::Amount;
use crate::day::time::HOUR_MS;
use crate::day::{Moment, Role};
use crate::trace::Place;
use uuid::Uuid;

/// For how long a command can be taken back, in milliseconds: a week. Later a count by the lead puts
/// things right. Common practice, no source.
pub const UNDO_MS: i64 = 7 * 24 * HOUR_MS;
/// The longest reason of a recall in characters.
const REASON_MAX: usize = 400;

type Decision = Result<Vec<Event>, Refusal>;

/// Decides a command on the state alone and changes nothing.
///
/// # Errors
/// The reason, and what to do instead.
pub fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    check_role(state, command, moment.role)?;
    let event = match command {
        Command::Take {
            lot,
            place,
            packages,
        } => {
            known(state, lot)?;
            edible(state, lot)?;
            there(state, lot, *place, *packages)?;
            Event::Taken {
                lot: lot.clone(),
                place: *place,
                packages: *packages,
            }
        }
        Command::Judge { lot, verdict } => judged(state, lot, *verdict)?,
        Command::Move {
            lot,
            from,
            to,
            packages,
        } => {
            known(state, lot)?;
            edible(state, lot)?;
            may_move(*from, *to)?;
            there(state, lot, *from, *packages)?;
            Event::Moved {
                lot: lot.clone(),
                from: *from,
                to: *to,
                packages: *packages,
            }
        }
        Command::Discard {
            lot,
            place,
            packages,
            why,
        } => {
            known(state, lot)?;
            there(state, lot, *place, *packages)?;
            Event::Discarded {
                lot: lot.clone(),
                place: *place,
                packages: *packages,
                why: *why,
            }
        }
        Command::Correct {
            lot,
            place,
            packages,
        } => corrected(state, lot, *place, *packages)?,
        Command::Recall { batch, reason } => recalled(state, batch, reason)?,
        Command::EndRecall { batch } => match state.recalls.get(batch) {
            Some(recall) => Event::RecallEnded {
                batch: batch.clone(),
                reason: recall.reason.clone(),
                since: recall.at,
            },
            None => return Err(recall_is_so(batch, "is not recalled")),
        },
        Command::Undo { command } => undone(state, *command, moment)?,
    };
    Ok(vec![event])
}

/// Helpers take, judge, move and throw away, and take that back; the rest is the lead's.
fn check_role(state: &State, command: &Command, role: Role) -> Result<(), Refusal> {
    let lead_only = match command {
        Command::Take { .. }
        | Command::Judge { .. }
        | Command::Move { .. }
        | Command::Discard { .. } => false,
        Command::Correct { .. } | Command::Recall { .. } | Command::EndRecall { .. } => true,
        Command::Undo { command } => {
            let done = state.done.iter().find(|done| done.command == *command);
            done.is_some_and(|done| {
                matches!(
                    done.event,
                    Event::Corrected { .. } | Event::Recalled { .. } | Event::RecallEnded { .. }
                )
            })
        }
    };
    match role {
        Role::Lead => Ok(()),
        Role::Helper if !lead_only => Ok(()),
        Role::Helper => Err(Refusal::new(
            Code::LeadOnly,
            "Only the lead can do this.",
            "Ask the lead to do it on the lead's device.",
        )),
        Role::Watcher => Err(Refusal::new(
            Code::WatchOnly,
            "This screen only watches.",
            "Use another device, or join as a helper on this one.",
        )),
    }
}

/// The refusal where a day made no such lot.
pub fn unknown_lot(lot: &LotRef) -> Refusal {
    let (code, day) = (&lot.code, &lot.day);
    Refusal::new(
        Code::UnknownPackages,
        format!("The day {day} made no packages with the code {code}."),
        "Compare the code with the label, or look the packages up on the shelf.",
    )
    .with("code", code)
}

fn known(state: &State, lot: &LotRef) -> Result<(), Refusal> {
    let found = state.lot(lot).is_some();
    found.then_some(()).ok_or_else(|| unknown_lot(lot))
}

fn edible(state: &State, lot: &LotRef) -> Result<(), Refusal> {
    let Some(recall) = state.recall(lot) else {
        return Ok(());
    };
    Err(Refusal::new(
        Code::RecalledPackages,
        format!("{} was recalled: {}", lot.code, recall.reason),
        "Do not eat or taste it. Throw it away as the page of the lot says.",
    )
    .with("code", &lot.code))
}

/// Whole packages, or all that is left where that is a part of one.
fn there(state: &State, lot: &LotRef, place: Place, packages: Amount) -> Result<(), Refusal> {
    let left = state.left(lot, place);
    if !packages.is_sensible() || (!packages.is_whole() && packages != left) {
        return Err(Refusal::new(
            Code::BadNumber,
            format!("{packages} is no number of packages that can be taken."),
            "Say a whole number, at least one.",
        )
        .with("packages", packages));
    }
    if packages <= left {
        return Ok(());
    }
    let (code, place) = (&lot.code, place.words());
    let left = left.max(Amount::ZERO);
    Err(Refusal::new(
        Code::NotOnTheShelf,
        format!("{left} of {code} are left in the {place}, not {packages}."),
        "Take fewer. If more are there, the lead can correct the count.",
    )
    .with("code", code)
    .with("left", left)
    .with("packages", packages))
}

fn judged(state: &State, lot: &LotRef, verdict: Verdict) -> Result<Event, Refusal> {
    known(state, lot)?;
    let so_far = state.kept(lot).judged.get(&verdict).copied().unwrap_or(0);
    if Amount::whole(i64::from(so_far)) >= state.taken(lot) {
        return Err(Refusal::new(
            Code::NothingTaken,
            format!(
                "No package of {} was taken that could be judged so.",
                lot.code
            ),
            "Take the package out first, then say how it was.",
        )
        .with("code", &lot.code));
    }
    Ok(Event::Judged {
        lot: lot.clone(),
        verdict,
    })
}

fn may_move(from: Place, to: Place) -> Result<(), Refusal> {
    if to == Place::Pantry {
        return Err(Refusal::new(
            Code::NotForThePantry,
            "Only jars found sealed at the seal check stand in the pantry.",
            "Keep it in the refrigerator or the freezer. A mistaken move is taken back instead.",
        ));
    }
    if from == to {
        return Err(Refusal::new(
            Code::BadNumber,
            format!("They are in the {} already.", to.words()),
            "Choose another place.",
        ));
    }
    Ok(())
}

/// The most that can ever be at a place: the sealed jars for the pantry, all of the lot for the cold.
fn most(state: &State, lot: &LotRef, place: Place) -> Amount {
    match place {
        Place::Pantry => state.arrived(lot, Place::Pantry),
        Place::Refrigerator | Place::Freezer => {
            Place::ALL.iter().map(|one| state.arrived(lot, *one)).sum()
        }
    }
}

/// A count may find what was thought taken, but never more than ever came.
fn corrected(
    state: &State,
    lot: &LotRef,
    place: Place,
    packages: Amount,
) -> Result<Event, Refusal> {
    known(state, lot)?;
    let ever = most(state, lot, place);
    let sensible = packages == Amount::ZERO || packages.is_sensible();
    if !sensible || packages > ever {
        let place = place.words();
        return Err(Refusal::new(
            Code::BadNumber,
            format!(
                "{packages} cannot be in the {place}: {ever} of {} came at most.",
                lot.code
            ),
            "Count again; compare the codes on the labels.",
        )
        .with("packages", packages)
        .with("most", ever));
    }
    Ok(Event::Corrected {
        lot: lot.clone(),
        place,
        packages,
        was: state.left(lot, place),
    })
}

fn recalled(state: &State, batch: &BatchRef, reason: &str) -> Result<Event, Refusal> {
    let traced = state.days().find(|(day, _)| **day == batch.day);
    let known =
        traced.is_some_and(|(_, day)| day.lots.values().any(|lot| lot.batch == batch.batch));
    if !known {
        return Err(Refusal::new(
            Code::UnknownPackages,
            format!("The day {} has no load or run {}.", batch.day, batch.batch),
            "Compare the code with a label of it.",
        )
        .with("code", &batch.batch));
    }
    if state.recalls.contains_key(batch) {
        return Err(recall_is_so(batch, "is recalled already"));
    }
    let length = reason.trim().chars().count();
    if length == 0 || length > REASON_MAX {
        return Err(Refusal::new(
            Code::BadNumber,
            format!("The reason has {length} characters."),
            format!("Say in 1 to {REASON_MAX} characters why it must not be eaten."),
        ));
    }
    Ok(Event::Recalled {
        batch: batch.clone(),
        reason: reason.trim().to_owned(),
    })
}

fn recall_is_so(batch: &BatchRef, is: &str) -> Refusal {
    Refusal::new(
        Code::RecallIsSo,
        format!("{} {is}.", batch.batch),
        "Look at the shelf; somebody was quicker.",
    )
    .with("code", &batch.batch)
}

fn undone(state: &State, command: Uuid, moment: &Moment) -> Result<Event, Refusal> {
    let done = state
        .done
        .iter()
        .find(|done| done.command == command && !matches!(done.event, Event::Undone { .. }));
    let Some(done) = done.filter(|done| !done.undone) else {
        return Err(Refusal::new(
            Code::NothingToTakeBack,
            "There is no such change, or it was taken back already.",
            "Look at the shelf as it is now.",
        ));
    };
    let late = moment.now.ms_since(done.at) > UNDO_MS;
    if late || !can_go_back(state, &done.event) {
        return Err(Refusal::new(
            Code::TooLateToTakeBack,
            "Too much has happened since to take this back.",
            "Count what is there; the lead can correct the count.",
        ));
    }
    Ok(Event::Undone { command })
}

/// Whether taking it back leaves no place below nothing or above the most that can be there.
fn can_go_back(state: &State, event: &Event) -> bool {
    let fits = |lot: &LotRef, place: Place, more: Amount| {
        let left = state.left(lot, place) + more;
        left >= Amount::ZERO && left <= most(state, lot, place)
    };
    match event {
        Event::Moved {
            lot,
            from,
            to,
            packages,
        } => fits(lot, *to, Amount::ZERO - *packages) && fits(lot, *from, *packages),
        Event::Corrected {
            lot,
            place,
            packages,
            was,
        } => fits(lot, *place, *was - *packages),
        Event::Taken {
            lot,
            place,
            packages,
        } => {
            let judged = state.kept(lot).judged;
            let most = judged.values().copied().max().unwrap_or(0);
            let rest = state.taken(lot) - *packages;
            rest >= Amount::whole(i64::from(most)) && fits(lot, *place, *packages)
        }
        Event::Discarded {
            lot,
            place,
            packages,
            ..
        } => fits(lot, *place, *packages),
        Event::RecallEnded { batch, .. } => !state.recalls.contains_key(batch),
        Event::Recalled { batch, .. } => state.recalls.contains_key(batch),
        Event::Judged { .. } | Event::Undone { .. } => true,
    }
}
