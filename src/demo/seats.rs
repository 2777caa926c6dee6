//! Where to sit: work that waits, what one likes, what one has done long enough.

use super::look::Look;
use super::mind::Mind;
use super::sight::StationSight;
use super::work::workable;
use crate::day::command::Command;
use crate::day::ids::*;
use crate::day::plan::{Nature, Need, Verdict};
use crate::day::time::MINUTE_MS;
use rand::{Rng, RngExt};

/// So long somebody waits at an empty table before looking elsewhere.
const PATIENCE_MS: i64 = 3 * MINUTE_MS;

pub(super) fn next(mind: &mut Mind, look: &Look<'_>, rng: &mut impl Rng) -> Option<Command> {
    let me = look.myself()?;
    let Some(seat) = &me.station else {
        let station = best(mind, look, None, rng)?;
        return mind.untried(Command::Claim {
            helper: look.me.clone(),
            beside: beside(look, &station),
            station,
        });
    };
    let since = look.sight.stations.get(seat)?.seated.get(look.me)?.since;
    let idle = mind
        .idle_since
        .is_some_and(|at| look.now.ms_since(at) >= PATIENCE_MS);
    let long = look.now.ms_since(since) >= i64::from(look.person.stays_min) * MINUTE_MS;
    if !idle && !long {
        return None;
    }
    match best(mind, look, Some(seat), rng) {
        Some(station) => Some(Command::Switch {
            helper: look.me.clone(),
            beside: beside(look, &station),
            station,
        }),
        None if idle => mind.untried(Command::Leave {
            helper: look.me.clone(),
        }),
        None => None,
    }
}

/// The most rewarding station to sit at, but for the one somebody sits at.
fn best(
    mind: &Mind,
    look: &Look<'_>,
    not: Option<&StationId>,
    rng: &mut impl Rng,
) -> Option<StationId> {
    let mut best: Option<(f64, &StationId)> = None;
    for id in look.person.minutes.keys() {
        let Some(station) = look.sight.stations.get(id).filter(|_| Some(id) != not) else {
            continue;
        };
        if !can_sit(mind, look, (id, station), not.is_some()) {
            continue;
        }
        let Some(worth) = worth(look, (id, station), rng) else {
            continue;
        };
        if best.is_none_or(|(most, _)| worth > most) {
            best = Some((worth, id));
        }
    }
    best.map(|(_, id)| id.clone())
}

fn can_sit(
    mind: &Mind,
    look: &Look<'_>,
    (id, station): (&StationId, &StationSight),
    switches: bool,
) -> bool {
    let by_hand = matches!(station.nature, Nature::Hand {});
    let room = !station.seated.is_empty() || look.sight.has_room(station);
    let watched = match look.may(id) {
        Verdict::Never => false,
        Verdict::Allowed => true,
        Verdict::WithAdult => beside(look, id).is_some(),
    };
    let hot = station.needs.contains(&Need::Heat);
    let leaves_child = hot && look.myself().is_some_and(|me| !me.beside_of.is_empty());
    let (helper, station_id) = (look.me.clone(), id.clone());
    let beside = beside(look, id);
    let command = if switches {
        Command::Switch {
            helper,
            station: station_id,
            beside,
        }
    } else {
        Command::Claim {
            helper,
            station: station_id,
            beside,
        }
    };
    by_hand
        && station.set_up
        && station.free > 0
        && room
        && watched
        && !leaves_child
        && mind.untried(command).is_some()
}

/// The grown-up to name, where the house asks for one.
pub(super) fn beside(look: &Look<'_>, station: &StationId) -> Option<HelperId> {
    match look.may(station) {
        Verdict::Allowed | Verdict::Never => None,
        Verdict::WithAdult => look.adult_for(station, look.me).cloned(),
    }
}

/// Carriers for each pair of hands, a little more for what is liked and what is further on.
fn worth(
    look: &Look<'_>,
    (id, station): (&StationId, &StationSight),
    rng: &mut impl Rng,
) -> Option<f64> {
    let mut carriers = 0.0;
    let mut further = 0.0_f64;
    for (product, queue) in &station.waiting {
        if workable(look, (id, station), product).is_none() {
            continue;
        }
        let route = &look.sight.products.get(product)?.route;
        let at = route.iter().position(|step| step.station == *id)?;
        further = further.max((at + 1) as f64 / route.len() as f64);
        carriers += queue.amount.0 as f64 / queue.carrier.holds.0 as f64;
    }
    let hands = station.seated.len() as f64 + 1.0;
    let each = carriers / hands;
    if each < 0.2 || carriers == 0.0 {
        return None;
    }
    let liked = look.myself()?.likes.contains(&station.work);
    Some(each.min(5.0) + 3.0 * further + f64::from(u8::from(liked)) + rng.random_range(0.0..1.5))
}
