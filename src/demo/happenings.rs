//! What befalls people in the day: each happening once, by whom it befalls, when it can.

use super::look::Look;
use super::mind::Mind;
use super::people::Happening;
use super::seats::beside;
use crate::day::amount::Amount;
use crate::day::command::{Command, Destination, NoteOn, Place};
use crate::day::ids::*;
use std::collections::BTreeSet;

/// What has befallen somebody already, so that it does not befall them twice.
#[derive(Debug, Clone, Default)]
pub(super) struct Befallen(BTreeSet<String>);

impl Befallen {
    /// Notes something; false if it was noted before.
    pub fn first_time(&mut self, what: String) -> bool {
        self.0.insert(what)
    }

    fn is_past(&self, what: &str) -> bool {
        self.0.contains(what)
    }
}

pub(super) fn next(mind: &mut Mind, look: &Look<'_>) -> Option<Command> {
    for (number, happening) in look.cast.happenings.iter().enumerate() {
        let name = format!("happening {number}");
        if mind.befallen.is_past(&name) || !is_due(look, happening) {
            continue;
        }
        let command = match happening {
            Happening::CountedTwice { station, .. } => counted_twice(mind, look, station, &name),
            Happening::Swap { one, other, .. } => swap(look, one, other),
            Happening::Note { text, .. } => Some(Command::Note {
                on: NoteOn::Day,
                text: text.clone(),
            }),
            Happening::SoftFruit { .. }
            | Happening::NotRinsed { .. }
            | Happening::Recount { .. } => of_fruit(look, happening),
            Happening::FallsBehind { .. }
            | Happening::EagerBoil { .. }
            | Happening::BoilLost { .. }
            | Happening::BrokenJar { .. } => None,
        };
        let Some(command) = command.and_then(|command| mind.untried(command)) else {
            continue;
        };
        if !matches!(command, Command::Tally { .. }) {
            mind.befallen.first_time(name);
        }
        return Some(command);
    }
    None
}

/// Whether it is this person's and its time has come.
fn is_due(look: &Look<'_>, happening: &Happening) -> bool {
    let (helper, minute) = match happening {
        Happening::SoftFruit {
            helper, after_min, ..
        }
        | Happening::NotRinsed {
            helper, after_min, ..
        }
        | Happening::Recount {
            helper, after_min, ..
        }
        | Happening::CountedTwice {
            helper, after_min, ..
        }
        | Happening::Swap {
            one: helper,
            after_min,
            ..
        }
        | Happening::Note {
            helper, after_min, ..
        } => (helper, after_min),
        Happening::FallsBehind { .. }
        | Happening::EagerBoil { .. }
        | Happening::BoilLost { .. }
        | Happening::BrokenJar { .. } => return false,
    };
    helper == look.me && look.minute() >= i64::from(*minute)
}

/// What befalls fruit that waits, if enough of it does.
fn of_fruit(look: &Look<'_>, happening: &Happening) -> Option<Command> {
    match happening {
        Happening::SoftFruit { at, amount, to, .. } => {
            waits(look, at, *amount).then(|| Command::Divert {
                station: at.station.clone(),
                product: at.product.clone(),
                lot: None,
                amount: *amount,
                to: Destination::Route {
                    product: to.product.clone(),
                    station: to.station.clone(),
                },
                becomes: None,
            })
        }
        Happening::NotRinsed {
            at,
            amount,
            to,
            reason,
            ..
        } => waits(look, at, *amount).then(|| Command::SendBack {
            station: at.station.clone(),
            product: at.product.clone(),
            lot: None,
            amount: *amount,
            to: to.clone(),
            reason: reason.clone(),
            becomes: None,
        }),
        Happening::Recount { at, more, .. } => recount(look, at, *more),
        Happening::CountedTwice { .. }
        | Happening::Swap { .. }
        | Happening::Note { .. }
        | Happening::FallsBehind { .. }
        | Happening::EagerBoil { .. }
        | Happening::BoilLost { .. }
        | Happening::BrokenJar { .. } => None,
    }
}

fn waits(look: &Look<'_>, at: &Place, amount: Amount) -> bool {
    look.sight.waiting(&at.station, &at.product) >= amount
}

fn recount(look: &Look<'_>, at: &Place, more: Amount) -> Option<Command> {
    let station = look.sight.stations.get(&at.station)?;
    let (lot, waiting) = station.waiting.get(&at.product)?.lots.iter().next()?;
    Some(Command::Recount {
        station: at.station.clone(),
        product: at.product.clone(),
        lot: lot.clone(),
        amount: *waiting + more,
    })
}

fn swap(look: &Look<'_>, one: &HelperId, other: &HelperId) -> Option<Command> {
    let seat = |id: &HelperId| look.sight.helpers.get(id)?.station.as_ref();
    let (mine, theirs) = (seat(one)?, seat(other)?);
    let other_look = Look { me: other, ..*look };
    (mine != theirs).then(|| Command::Swap {
        one: one.clone(),
        other: other.clone(),
        beside_one: beside(look, theirs),
        beside_other: beside(&other_look, mine),
    })
}

/// A carrier is tallied that was tallied before, and a moment later taken back.
fn counted_twice(
    mind: &mut Mind,
    look: &Look<'_>,
    station: &StationId,
    name: &str,
) -> Option<Command> {
    if look.myself()?.station.as_ref() != Some(station) {
        return None;
    }
    let (station, helper) = (station.clone(), Some(look.me.clone()));
    if mind.befallen.is_past(&format!("{name}, tallied")) {
        return Some(Command::UndoTally { station, helper });
    }
    let queue = look.sight.stations.get(&station)?.waiting.iter();
    let (product, _) = queue
        .clone()
        .find(|(_, queue)| queue.amount >= queue.carrier.holds)?;
    mind.befallen.first_time(format!("{name}, tallied"));
    Some(Command::Tally {
        station,
        helper,
        product: Some(product.clone()),
        lot: None,
        amount: None,
        to: None,
    })
}
