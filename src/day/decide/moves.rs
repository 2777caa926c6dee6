//! Orders about moves that the board proposes.
//!
//! Taking one up is a claim, a switch or a swap like any other; here is only the word that it was
//! taken, for the look back, or is not wanted for now. A move is named by what it is: `claim:wren:pare`, `switch:wren:wash:pare`,
//! `swap:silas:wren`.

use super::{Decision, find};
use crate::day::command::Moment;
use crate::day::event::Event;
use crate::day::ids::{HelperId, StationId};
use crate::day::refusal::Refusal;
use crate::day::state::State;

/// How many moves can be set aside at a time.
const SET_ASIDE_MAX: usize = 100;
/// The most minutes a move can have been said to gain: two weeks, as far as is looked ahead.
const GAIN_MIN_MAX: u32 = 14 * 24 * 60;

/// Whether a move can be set aside: by any device that works, for it may be the mover's own. A
/// move that has become impossible meanwhile is taken too; it is not proposed either way.
pub(super) fn set_aside(state: &State, moment: &Moment, name: &str, gain_min: u32) -> Decision {
    is_move(state, name)?;
    is_gain(gain_min)?;
    let others = state
        .set_aside
        .iter()
        .filter(|(other, past)| *other != name && past.counts_at(moment.now));
    if others.count() >= SET_ASIDE_MAX {
        return Err(find::bad(
            format!("{SET_ASIDE_MAX} moves are set aside already."),
            "Leave this one on the screen; the others come back within the hour.",
        ));
    }
    Ok(vec![Event::MoveSetAside {
        r#move: name.to_owned(),
        gain_min,
    }])
}

/// Whether a move is written down as taken: its seats must be as it made them.
pub(super) fn take(state: &State, name: &str, gain_min: u32) -> Decision {
    is_move(state, name)?;
    is_gain(gain_min)?;
    let words: Vec<&str> = name.splitn(5, ':').collect();
    let arrived = match words[..] {
        ["claim", helper, to] | ["switch", helper, _, to] => sits_at(state, helper) == Some(to),
        ["swap", one, other] => sits_at(state, one).is_some() && sits_at(state, other).is_some(),
        _ => false,
    };
    if !arrived {
        return Err(find::bad(
            "The seats are not as this move makes them.",
            "Change the seats first, and say then that the move was taken.",
        ));
    }
    Ok(vec![Event::MoveTaken {
        r#move: name.to_owned(),
        gain_min,
    }])
}

fn sits_at<'a>(state: &'a State, helper: &str) -> Option<&'a str> {
    let id = HelperId::try_from(helper).ok()?;
    let seat = state.helpers.get(&id)?.station.as_ref()?;
    Some(seat.as_str())
}

fn is_gain(gain_min: u32) -> Result<(), Refusal> {
    if gain_min <= GAIN_MIN_MAX {
        return Ok(());
    }
    Err(find::bad(
        format!("A move cannot gain {gain_min} minutes."),
        format!("Say the minutes it was shown with, at most {GAIN_MIN_MAX}."),
    ))
}

/// A name of a move, with people and stations of this day.
fn is_move(state: &State, name: &str) -> Result<(), Refusal> {
    let words: Vec<&str> = name.splitn(5, ':').collect();
    match words[..] {
        ["claim", helper, to] => {
            known_helper(state, helper)?;
            known_station(state, to)
        }
        ["switch", helper, from, to] if from != to => {
            known_helper(state, helper)?;
            known_station(state, from)?;
            known_station(state, to)
        }
        ["swap", one, other] if one != other => {
            known_helper(state, one)?;
            known_helper(state, other)
        }
        _ => Err(no_move()),
    }
}

fn known_helper(state: &State, text: &str) -> Result<(), Refusal> {
    let id = HelperId::try_from(text).map_err(|_| no_move())?;
    find::helper(state, &id).map(|_| ())
}

fn known_station(state: &State, text: &str) -> Result<(), Refusal> {
    let id = StationId::try_from(text).map_err(|_| no_move())?;
    find::station(state, &id).map(|_| ())
}

fn no_move() -> Refusal {
    find::bad(
        "This is not the name of a move.",
        "Name it as it was proposed: \"claim:helper:station\", \"switch:helper:from:to\" or \
         \"swap:one:other\".",
    )
}
