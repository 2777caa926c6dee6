//! Canners: loads built when enough jars wait, heated, timed from a boil that is seen, lifted.
//!
//! Those who mind the heat take turns load by load.

use super::boil::{is_boiling, looks_boiling, number};
use super::coming::is_coming;
use super::look::Look;
use super::mind::Mind;
use super::people::Happening;
use super::sight::{CannerSight, LoadSight, StationSight};
use crate::day::amount::Amount;
use crate::day::command::{Command, Destination, LoadJars, Place};
use crate::day::ids::*;
use crate::day::plan::Ending;
use crate::day::state::LoadPhase;
use crate::day::time::MINUTE_MS;

/// Filled jars do not wait longer than this for a load to be full (common practice).
const JARS_WAIT_MS: i64 = 25 * MINUTE_MS;

/// Not even a few jars wait longer than this: they would soon be no longer fresh.
const JARS_WAIT_AT_MOST_MS: i64 = 60 * MINUTE_MS;
/// Jars that stood so long are not taken by the rules any more.
const JARS_FRESH_MS: i64 = 120 * MINUTE_MS;

pub(super) fn next(mind: &mut Mind, look: &Look<'_>) -> Option<Command> {
    if !look.person.minds_heat {
        return None;
    }
    for (id, load) in &look.sight.loads {
        let wish = tend(mind, look, id, load);
        if let Some(command) = wish.and_then(|command| mind.untried(command)) {
            return Some(command);
        }
    }
    let stood = look.is_lead().then(|| stood_too_long(look)).flatten();
    stood
        .and_then(|command| mind.untried(command))
        .or_else(|| build(mind, look))
}

/// Filled jars that stood too long go into the refrigerator.
fn stood_too_long(look: &Look<'_>) -> Option<Command> {
    let canners = look.sight.stations.iter();
    let mut queues = canners
        .filter(|(_, station)| !station.canners.is_empty())
        .flat_map(|(id, station)| station.waiting.iter().map(move |queue| (id, queue)));
    queues.find_map(|(station, (product, queue))| {
        let since = queue.oldest_at?;
        (look.now.ms_since(since) > JARS_FRESH_MS).then(|| Command::Divert {
            station: station.clone(),
            product: product.clone(),
            lot: None,
            amount: queue.amount,
            to: Destination::Refrigerator {},
            becomes: None,
        })
    })
}

fn tend(mind: &mut Mind, look: &Look<'_>, id: &LoadId, load: &LoadSight) -> Option<Command> {
    if !look.may_alone(&load.station) {
        return None;
    }
    let eager = load.phase == LoadPhase::Heating && looks_boiling(look, id, load);
    if eager && mind.befallen.first_time(format!("eager {id}")) {
        return Some(Command::RollingBoil {
            load: id.clone(),
            helper: Some(look.me.clone()),
        });
    }
    let turn = number(id).map_or(0, |number| number as usize);
    let mine = look.falls_to_me(&load.station, turn);
    mine.then(|| next_phase(look, id, load)).flatten()
}

/// What a load needs now.
fn next_phase(look: &Look<'_>, id: &LoadId, load: &LoadSight) -> Option<Command> {
    let station = look.sight.stations.get(&load.station)?;
    let helper = Some(look.me.clone());
    let load_id = id.clone();
    match load.phase {
        LoadPhase::Loading => look.sight.has_room(station).then_some(Command::HeatLoad {
            load: load_id,
            helper,
        }),
        LoadPhase::Heating => is_boiling(look, id, load).then_some(Command::RollingBoil {
            load: load_id,
            helper,
        }),
        LoadPhase::Timing if !is_boiling(look, id, load) => Some(Command::BoilLost {
            load: load_id,
            helper,
        }),
        LoadPhase::Timing => (look.now >= load.done_at?).then_some(Command::HeatOff {
            load: load_id,
            helper,
            end_early: false,
        }),
        LoadPhase::Resting => (look.now >= load.rest_until?).then(|| Command::LiftLoad {
            load: load_id,
            helper,
            broken: broken(look, id, load),
            fate: None,
        }),
        // The invented family has no pressure canner.
        LoadPhase::Venting | LoadPhase::Lifted | LoadPhase::Cancelled => None,
    }
}

fn broken(look: &Look<'_>, id: &LoadId, load: &LoadSight) -> Vec<LoadJars> {
    let cracks = |happening: &Happening| {
        let Happening::BrokenJar { load } = happening else {
            return false;
        };
        Some(*load) == number(id)
    };
    if !look.cast.happenings.iter().any(cracks) {
        return Vec::new();
    }
    let first = load.jars.keys().next().map(|product| LoadJars {
        product: product.clone(),
        lot: None,
        jars: 1,
    });
    first.into_iter().collect()
}

fn build(mind: &Mind, look: &Look<'_>) -> Option<Command> {
    let turn = look.sight.loads.len() + 1;
    for (station_id, station) in &look.sight.stations {
        if !station.set_up
            || !look.may_alone(station_id)
            || !look.falls_to_me(station_id, turn)
            || !look.sight.has_room(station)
        {
            continue;
        }
        let free = station
            .canners
            .iter()
            .find(|(_, canner)| canner.load.is_none());
        let Some((canner_id, canner)) = free else {
            continue;
        };
        let Some(jars) = enough(look, (station_id, station), canner) else {
            continue;
        };
        let load = format!("load-{}", turn as u32 + mind.loads_skipped);
        let command = Command::BuildLoad {
            load: LoadId::try_from(load).ok()?,
            station: station_id.clone(),
            canner: canner_id.clone(),
            jars: vec![jars],
            mixed: false,
        };
        if let Some(command) = mind.untried(command) {
            return Some(command);
        }
    }
    None
}

/// A full load, all that will ever come, or half a load that has waited long enough.
fn enough(
    look: &Look<'_>,
    (station_id, station): (&StationId, &StationSight),
    canner: &CannerSight,
) -> Option<LoadJars> {
    let queues = station.waiting.iter().filter_map(|(product, queue)| {
        let Ending::Canned { jar, .. } = look.sight.products.get(product)?.ends_in else {
            return None;
        };
        let holds = *canner.holds.get(&jar)?;
        let waits = u32::try_from(queue.amount.0 / Amount::whole(1).0).ok()?;
        let place = Place {
            product: product.clone(),
            station: station_id.clone(),
        };
        let old = queue
            .oldest_at
            .is_some_and(|at| look.now.ms_since(at) >= JARS_WAIT_MS);
        let very_old = queue
            .oldest_at
            .is_some_and(|at| look.now.ms_since(at) >= JARS_WAIT_AT_MOST_MS);
        let ready = waits >= holds
            || waits > 0 && (very_old || !is_coming(look.sight, &place))
            || waits * 2 >= holds && old;
        ready.then(|| LoadJars {
            product: product.clone(),
            lot: None,
            jars: waits.min(holds),
        })
    });
    queues.max_by_key(|jars| jars.jars)
}
