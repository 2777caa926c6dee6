//! Coming, resting, going home; pots and children are handed over before anybody goes.

use super::look::Look;
use super::mind::Mind;
use crate::day::command::Command;
use crate::day::ids::StationId;
use crate::day::time::{MINUTE_MS, Timestamp};
use rand::{Rng, RngExt};

pub(super) fn arrive(look: &Look<'_>) -> Option<Command> {
    let due = look.minute() >= i64::from(look.person.arrives_min);
    due.then(|| Command::Arrive {
        helper: look.me.clone(),
    })
}

pub(super) fn come_back(look: &Look<'_>) -> Option<Command> {
    let since = look.myself()?.since;
    let rested = look.now.ms_since(since) >= i64::from(look.person.rest_min) * MINUTE_MS;
    rested.then(|| Command::EndBreak {
        helper: look.me.clone(),
    })
}

pub(super) fn next(mind: &mut Mind, look: &Look<'_>, rng: &mut impl Rng) -> Option<Command> {
    let home = look
        .person
        .leaves_min
        .is_some_and(|at| look.minute() >= i64::from(at));
    if !home && !is_tired(mind, look, rng) {
        return None;
    }
    if let Some(command) = hand_over(look).and_then(|command| mind.untried(command)) {
        return Some(command);
    }
    let me = look.myself()?;
    let helper = look.me.clone();
    if !me.beside_of.is_empty() || !minded(look).is_empty() {
        mind.rest_at = Some(look.now.plus_minutes(5));
        return None;
    }
    mind.rest_at = None;
    mind.untried(match home {
        true => Command::GoHome {
            helper,
            hurry: false,
        },
        false => Command::TakeBreak { helper },
    })
}

/// Whether the time for a rest has come; the first is thought of once, and not at the same moment
/// by everybody.
fn is_tired(mind: &mut Mind, look: &Look<'_>, rng: &mut impl Rng) -> bool {
    let every = look.person.rests_every_min;
    let fresh = || {
        let ms = i64::from(rng.random_range(every * 3 / 4..=every)) * MINUTE_MS;
        Timestamp(look.now.0 + ms)
    };
    look.now >= *mind.rest_at.get_or_insert_with(fresh)
}

/// Pots and canner loads this person would leave behind.
fn minded<'a>(look: &Look<'a>) -> Vec<(&'a StationId, &'a crate::day::ids::PotId)> {
    let pots = look.sight.stations.iter().flat_map(|(id, station)| {
        station
            .pots
            .iter()
            .map(move |(pot, found)| (id, pot, found))
    });
    pots.filter(|(_, _, found)| found.minder.as_ref() == Some(look.me))
        .map(|(station, pot, _)| (station, pot))
        .collect()
}

fn hand_over(look: &Look<'_>) -> Option<Command> {
    if let Some((station, pot)) = minded(look).first() {
        let minder = look.other_minder(station)?.clone();
        return Some(Command::HandOverPot {
            station: (*station).clone(),
            pot: (*pot).clone(),
            minder,
            backup: None,
        });
    }
    let child = look.myself()?.beside_of.first()?;
    let seat = look.sight.helpers.get(child)?.station.as_ref()?;
    let mut adults = look.sight.helpers.keys().filter(|id| *id != look.me);
    let other = adults.find(|id| look.can_stay_beside(id, child, seat))?;
    Some(Command::StayBeside {
        helper: child.clone(),
        adult: other.clone(),
    })
}
