//! What events about canner loads change.

use super::flow::{flow_mut, pass_on};
use super::seals;
use crate::day::amount::Amount;
use crate::day::command::{LoadJars, ShortFate};
use crate::day::event::{Event, Layer, LoadPart, LoadProcess, Part};
use crate::day::ids::{CannerId, LoadId, StationId};
use crate::day::state::{Load, LoadPhase, State};
use crate::day::time::Timestamp;

pub(super) fn apply(state: &mut State, at: Timestamp, event: &Event) {
    match event {
        Event::LoadBuilt {
            load,
            station,
            canner,
            jars,
            process,
        } => build(state, at, (load, station, canner), jars, process),
        Event::TimeWasUnknown { ms } => {
            for load in state.loads.values_mut() {
                owe(load, *ms);
            }
        }
        Event::JarsConfirmed {
            product,
            acid,
            sterile,
            ..
        } => {
            if let Some(product) = state.products.get_mut(product) {
                product.acid_until = acid.then_some(at).or(product.acid_until);
                product.sterile_until = sterile.then_some(at).or(product.sterile_until);
            }
        }
        Event::LoadCancelled { load } => cancel(state, load),
        Event::LoadHeated { load } => load_mut(state, load, |load| {
            load.phase = LoadPhase::Heating;
            load.heated_at = Some(at);
        }),
        Event::VentBegan { load } => load_mut(state, load, |load| {
            load.phase = LoadPhase::Venting;
            load.vented_at = Some(at);
        }),
        Event::PressureFell { load } => load_mut(state, load, |load| load.zero_at = Some(at)),
        Event::SealsChecked { load, jars, .. } => seals::check(state, at, load, jars),
        Event::BoilReached { load } => load_mut(state, load, |load| {
            load.phase = LoadPhase::Timing;
            load.boil_at = Some(at);
        }),
        Event::BoilWasLost { load } => load_mut(state, load, |load| {
            load.phase = LoadPhase::Heating;
            load.unknown_ms = 0;
            if let Some(began) = load.boil_at.take() {
                load.lost.push((began, at));
            }
        }),
        Event::HeatTurnedOff { load, short } => load_mut(state, load, |load| {
            load.phase = LoadPhase::Resting;
            load.heat_off_at = Some(at);
            load.short = *short;
        }),
        Event::LoadLifted { load, broken, fate } => lift(state, at, load, broken, *fate),
        other => unreachable!("{other:?} is not about loads"),
    }
}

/// Whatever wait is running must last so much longer.
fn owe(load: &mut Load, ms: i64) {
    let later = |at: Timestamp| Timestamp(at.0.saturating_add(ms));
    match load.phase {
        LoadPhase::Timing => load.unknown_ms = load.unknown_ms.saturating_add(ms),
        LoadPhase::Venting => load.vented_at = load.vented_at.map(later),
        LoadPhase::Resting => load.zero_at = load.zero_at.map(later),
        LoadPhase::Loading | LoadPhase::Heating | LoadPhase::Lifted | LoadPhase::Cancelled => {}
    }
}

fn load_mut(state: &mut State, id: &LoadId, change: impl FnOnce(&mut Load)) {
    if let Some(load) = state.loads.get_mut(id) {
        change(load);
    }
}

fn build(
    state: &mut State,
    at: Timestamp,
    (load, station, canner): (&LoadId, &StationId, &CannerId),
    jars: &[LoadPart],
    process: &LoadProcess,
) {
    for LoadPart { product, portion } in jars {
        let flow = flow_mut(state, station, product, &portion.lot);
        flow.remove(&portion.layers);
        flow.inside += portion.amount();
    }
    let built = Load {
        station: station.clone(),
        canner: canner.clone(),
        phase: LoadPhase::Loading,
        jars: jars.to_vec(),
        process: process.clone(),
        built_at: at,
        heated_at: None,
        vented_at: None,
        boil_at: None,
        unknown_ms: 0,
        lost: Vec::new(),
        heat_off_at: None,
        zero_at: None,
        short: false,
        lifted_at: None,
        broken: Vec::new(),
        fate: None,
        checked: Vec::new(),
    };
    state.loads.insert(load.clone(), built);
}

fn cancel(state: &mut State, id: &LoadId) {
    let Some(load) = state.loads.get_mut(id) else {
        return;
    };
    load.phase = LoadPhase::Cancelled;
    let (station, jars) = (load.station.clone(), std::mem::take(&mut load.jars));
    for LoadPart { product, portion } in &jars {
        let flow = flow_mut(state, &station, product, &portion.lot);
        flow.inside -= portion.amount();
        for layer in &portion.layers {
            flow.put(*layer);
        }
    }
}

fn lift(
    state: &mut State,
    at: Timestamp,
    id: &LoadId,
    broken: &[LoadJars],
    fate: Option<ShortFate>,
) {
    let Some(load) = state.loads.get_mut(id) else {
        return;
    };
    load.phase = LoadPhase::Lifted;
    load.lifted_at = Some(at);
    load.broken = broken.to_vec();
    load.fate = fate;
    // Jars for another load are as old as the heat they lost.
    let since = match fate {
        Some(ShortFate::Reprocess) => load.heat_off_at.unwrap_or(at),
        Some(ShortFate::Refrigerate | ShortFate::Freeze) | None => at,
    };
    let (station, jars) = (load.station.clone(), load.jars.clone());
    let mut broken_left: Vec<LoadJars> = broken.to_vec();
    for part in &jars {
        let lost = take_broken(&mut broken_left, part);
        lift_part(state, since, &station, part, lost, fate);
    }
}

/// How many jars of this part broke, taken off the list.
fn take_broken(broken: &mut [LoadJars], part: &LoadPart) -> Amount {
    let mut left = part.portion.amount();
    let mut lost = Amount::ZERO;
    for entry in broken {
        let same_lot = entry
            .lot
            .as_ref()
            .is_none_or(|lot| *lot == part.portion.lot);
        if entry.product != part.product || !same_lot {
            continue;
        }
        let here = Amount::whole(i64::from(entry.jars)).at_most(left);
        entry.jars -= u32::try_from(here.0 / 1000).expect("no more than were listed");
        left -= here;
        lost += here;
    }
    lost
}

fn lift_part(
    state: &mut State,
    at: Timestamp,
    station: &StationId,
    part: &LoadPart,
    lost: Amount,
    fate: Option<ShortFate>,
) {
    let LoadPart { product, portion } = part;
    let good = portion.amount() - lost;
    let flow = flow_mut(state, station, product, &portion.lot);
    flow.inside -= lost;
    flow.scrapped += lost;
    match fate {
        Some(ShortFate::Refrigerate | ShortFate::Freeze) => {
            flow.inside -= good;
            flow.diverted += good;
        }
        Some(ShortFate::Reprocess) => {
            flow.inside -= good;
            flow.put(Layer {
                since: at,
                amount: good,
            });
        }
        None => {
            let done = Part {
                lot: portion.lot.clone(),
                layers: vec![Layer {
                    since: at,
                    amount: good,
                }],
                made: good,
                promised: good,
                remainder_change: 0,
            };
            flow.book(&done, true);
            if let Some(onward) = state.way_on(product, station) {
                pass_on(state, at, station, product, &[done], &onward);
            }
        }
    }
}
