//! What would happen if: the same days again with one thing changed.

use super::forecast::{Forecast, finishes, mean_gain, share};
use super::make::{share as hundredths, tenths};
use super::model::{Model, take_youngest, usual_rates};
use super::report::{Change, WhatIf};
use super::settings::Settings;
use crate::day::state::State;
use crate::sim::{Helper, Uncertain, Works};

/// One more helper is tried at so many stations, those with the most of the critical chain first.
const PLACES_TRIED: usize = 3;
/// A pause of half an hour.
const PAUSE_MIN: f64 = 30.0;

/// The changes that can be tried on this day.
pub fn what_if(model: &Model, state: &State, told: &Forecast, settings: &Settings) -> Vec<WhatIf> {
    if !told.ends() {
        return Vec::new();
    }
    let runs = settings.compare_runs.min(told.runs);
    let before = &told.finishes[..told.finishes.len().min(runs as usize)];
    let compare = |change: Change, changed: &Model| {
        let after = finishes(changed, runs, settings.seed);
        let pairs: Vec<(f64, f64)> = before.iter().copied().zip(after.iter().copied()).collect();
        WhatIf {
            change,
            finish_min: tenths(-mean_gain(before, &after)),
            earlier: hundredths(share(&pairs, |(before, after)| *after < before - 1e-6)),
        }
    };
    let mut found = Vec::new();
    let one_more = places(model, told).into_iter().map(|station| {
        let changed = with_one_more_helper(model, state, station);
        let station = model.stations[station].clone();
        compare(Change::OneMoreHelper { station }, &changed)
    });
    found.extend(one_more.min_by(|a, b| a.finish_min.total_cmp(&b.finish_min)));
    for (station, changed) in with_one_more_canner(model, told) {
        let station = model.stations[station].clone();
        found.push(compare(Change::OneMoreCanner { station }, &changed));
    }
    if let Some(changed) = with_half(model) {
        found.push(compare(Change::HalfAsMuch {}, &changed));
    }
    found.push(compare(Change::PauseHalfHour {}, &with_pause(model)));
    found
}

/// Hand stations with a free seat that some of the critical chain passes, the most first.
fn places(model: &Model, told: &Forecast) -> Vec<usize> {
    let free = |station: &usize| {
        let taken = model
            .start
            .seats
            .iter()
            .filter(|seat| **seat == Some(*station))
            .count();
        let plan = &model.network.stations[*station];
        plan.works == Works::Hands && (taken as u64) < u64::from(plan.seats)
    };
    let chain = |station: &usize| told.chain.get(*station).copied().unwrap_or(0.0);
    let mut places: Vec<usize> = (0..model.network.stations.len())
        .filter(|station| free(station) && chain(station) > 0.0)
        .collect();
    places.sort_by(|a, b| chain(b).total_cmp(&chain(a)));
    places.truncate(PLACES_TRIED);
    places
}

/// With an adult more whom nobody has seen work yet.
fn with_one_more_helper(model: &Model, state: &State, station: usize) -> Model {
    let mut changed = model.clone();
    changed.network.helpers.push(Helper {
        name: String::new(),
        rates: usual_rates(model, state),
        speed: Uncertain::Known(1.0),
        away: Vec::new(),
        rests: None,
        prefers: Vec::new(),
        turns: Vec::new(),
        serves: Vec::new(),
    });
    changed.start.seats.push(Some(station));
    changed.start.ready_min.push(crate::pace::CHANGE_MIN);
    changed
}

fn with_one_more_canner(model: &Model, told: &Forecast) -> Vec<(usize, Model)> {
    let mut found = Vec::new();
    for station in 0..model.network.stations.len() {
        let stops = model.network.stops.iter().zip(&model.process_min);
        let mut here = stops.filter(|(stop, _)| stop.station == station);
        let has_process = here.any(|(_, process)| process.is_some());
        let on_chain = told
            .chain
            .get(station)
            .is_some_and(|minutes| *minutes > 0.0);
        if !has_process || !on_chain {
            continue;
        }
        let mut changed = model.clone();
        if let Works::Batches(batches) = &mut changed.network.stations[station].works {
            batches.servers += 1;
            found.push((station, changed));
        }
    }
    found
}

/// Half of the closed boxes stay closed. Nothing to try when all are open.
fn with_half(model: &Model) -> Option<Model> {
    let mut changed = model.clone();
    let mut halved = false;
    for closed in &mut changed.boxes {
        if !model.counts[model.network.stops[closed.stop].class] {
            continue;
        }
        let half = closed.amount / 2.0;
        take_youngest(&mut changed.start.waiting[closed.stop], half);
        closed.amount -= half;
        halved = true;
    }
    halved.then_some(changed)
}

/// Everybody rests now; pots and canners go on.
fn with_pause(model: &Model) -> Model {
    let mut changed = model.clone();
    for helper in &mut changed.network.helpers {
        let now = helper.away.first().is_some_and(|(from, _)| *from <= 0.0);
        if now {
            helper.away[0].1 = helper.away[0].1.max(PAUSE_MIN);
        } else {
            helper.away.insert(0, (0.0, PAUSE_MIN));
        }
    }
    changed
}
