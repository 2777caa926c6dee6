//! Pots: filled, started, stirred in time, handed over, emptied.
//!
//! Those who mind the heat take turns pot by pot; whoever started a pot stays its minder.

use super::coming::is_coming;
use super::look::Look;
use super::mind::Mind;
use super::sight::{PotSight, StationSight};
use crate::day::amount::{Amount, Ratio};
use crate::day::command::{Command, Place};
use crate::day::ids::*;
use crate::day::plan::Thickness;
use crate::day::time::MINUTE_MS;
use rand::{Rng, RngExt};

/// A pot that cooks longer than this is cooked down and measured at the end.
const COOKED_DOWN_MIN: u32 = 120;
/// The backup steps in when a stir is late by this.
const LATE_MS: i64 = 2 * MINUTE_MS;

/// A pot at its station.
struct Found<'a> {
    station_id: &'a StationId,
    station: &'a StationSight,
    pot_id: &'a PotId,
    pot: &'a PotSight,
    number: usize,
}

pub(super) fn next(mind: &Mind, look: &Look<'_>, rng: &mut impl Rng) -> Option<Command> {
    if !look.person.minds_heat {
        return None;
    }
    for (station_id, station) in &look.sight.stations {
        if !station.set_up || !look.may_alone(station_id) {
            continue;
        }
        for (number, (pot_id, pot)) in station.pots.iter().enumerate() {
            let found = Found {
                station_id,
                station,
                pot_id,
                pot,
                number,
            };
            let wish = if pot.started_at.is_some() {
                cooking(look, &found, rng)
            } else {
                cold(look, &found)
            };
            if let Some(command) = wish.and_then(|command| mind.untried(command)) {
                return Some(command);
            }
        }
    }
    None
}

fn cooking(look: &Look<'_>, found: &Found<'_>, rng: &mut impl Rng) -> Option<Command> {
    let pot = found.pot;
    let (station, id) = (found.station_id.clone(), found.pot_id.clone());
    let Some(minder) = &pot.minder else {
        let takes = look.falls_to_me(found.station_id, found.number);
        return takes.then(|| Command::HandOverPot {
            station,
            pot: id,
            minder: look.me.clone(),
            backup: look.other_minder(found.station_id).cloned(),
        });
    };
    let mine = minder == look.me;
    if mine && pot.done_at.is_some_and(|done| look.now >= done) {
        return Some(Command::PotDone {
            station,
            pot: id,
            helper: Some(look.me.clone()),
            made: measured(look, found, rng),
            to: None,
        });
    }
    let late = look.now.ms_since(pot.stir_at?);
    let steps_in = pot.backup.as_ref() == Some(look.me) && late >= LATE_MS;
    (mine && late >= 0 || steps_in).then(|| Command::Stirred {
        station,
        pot: id,
        helper: Some(look.me.clone()),
        thickness: Some(thickness(look, pot)),
    })
}

/// As thick as the time it has cooked.
fn thickness(look: &Look<'_>, pot: &PotSight) -> Thickness {
    let (Some(started), Some(done)) = (pot.started_at, pot.done_at) else {
        return Thickness::Thin;
    };
    let part = look.now.ms_since(started) * 100 / done.ms_since(started).max(1);
    let by_time = match part {
        ..50 => Thickness::Thin,
        50..85 => Thickness::Half,
        85.. => Thickness::Thick,
    };
    by_time.max(pot.thickness.unwrap_or(Thickness::Thin))
}

/// What was cooked down is measured, within a few percent of what the yield promised.
fn measured(look: &Look<'_>, found: &Found<'_>, rng: &mut impl Rng) -> Option<Amount> {
    let product = found.pot.product.as_ref()?;
    let step = look.sight.step(product, found.station_id)?;
    step.cook_min
        .filter(|minutes| *minutes >= COOKED_DOWN_MIN)?;
    let (promised, _) = step.yields.convert(found.pot.amount?, 0);
    let percent = Ratio {
        made: rng.random_range(96..=102),
        from: 100,
    };
    let (made, _) = percent.convert(promised, 0);
    // The jug is marked in twentieths of a quart.
    Some(Amount(made.0 / 50 * 50)).filter(|made| made.is_sensible())
}

fn cold(look: &Look<'_>, found: &Found<'_>) -> Option<Command> {
    if !look.falls_to_me(found.station_id, found.number) {
        return None;
    }
    let (station, id) = (found.station_id.clone(), found.pot_id.clone());
    if found.pot.product.is_some() {
        let backup = look.other_minder(found.station_id).cloned();
        return look
            .sight
            .has_room(found.station)
            .then(|| Command::StartPot {
                station,
                pot: id,
                minder: Some(look.me.clone()),
                backup,
            });
    }
    let product = to_fill(look, found)?;
    Some(Command::FillPot {
        station,
        pot: id,
        product,
        lot: None,
        amount: None,
    })
}

/// A full pot's worth waits, or all there will ever be.
fn to_fill(look: &Look<'_>, found: &Found<'_>) -> Option<ProductId> {
    if found.pot.dirty || !look.sight.has_room(found.station) {
        return None;
    }
    let mut queues = found.station.waiting.iter();
    let ready = queues.find(|(product, queue)| {
        let step = look.sight.step(product, found.station_id);
        let takes = step.and_then(|step| found.pot.takes.get(&step.measure));
        let place = Place {
            product: (*product).clone(),
            station: found.station_id.clone(),
        };
        takes.is_some_and(|takes| {
            queue.amount >= (*takes).min(queue.carrier.holds) || !is_coming(look.sight, &place)
        })
    });
    ready.map(|(product, _)| product.clone())
}
