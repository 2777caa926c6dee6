//! What is under way: loads in canners, pots on the heat, the carriers people hold.
//!
//! Every load gets a stop of its own with what is left of its phases, so that a process that runs
//! is never cut short by a guess about how long the load has taken so far.

use super::layout::{Layout, plain};
use super::minutes::{law, rest_of};
use super::{Model, minutes_from};
use crate::day::command::Place;
use crate::day::state::{Load, LoadPhase};
use crate::pace::{Minutes, Pace};
use crate::sim::{Busy, Law, Stop, Then, Uncertain, Works};
use crate::trade;

/// Water that has lost its boil comes back to it in some minutes (common practice, no source).
const BACK_TO_BOIL: Minutes = Minutes { mean: 5.0, cv: 0.5 };
/// From the end of venting to pressure (from memory).
const TO_PRESSURE: Minutes = Minutes { mean: 5.0, cv: 0.5 };

/// Puts everything under way into the start.
pub(super) fn put(model: &mut Model, layout: &Layout<'_>, pace: &Pace) {
    for load in layout
        .state
        .loads
        .values()
        .filter(|load| load.is_in_canner())
    {
        put_load(model, layout, pace, load);
    }
    put_pots(model, layout);
    put_hands(model, layout, pace);
}

fn put_load(model: &mut Model, layout: &Layout<'_>, pace: &Pace, load: &Load) {
    // The stops of its jars with their amounts, the most first.
    let mut parts: Vec<(f64, usize)> = Vec::new();
    for part in &load.jars {
        let Some(stop) = layout.stop(&load.station, &part.product) else {
            continue;
        };
        let amount = plain(part.portion.amount());
        match parts.iter_mut().find(|(_, known)| *known == stop) {
            Some((sum, _)) => *sum += amount,
            None => parts.push((amount, stop)),
        }
    }
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    let total: f64 = parts.iter().map(|(amount, _)| amount).sum();
    let Some(&(_, most)) = parts.first().filter(|_| total > 0.0) else {
        return;
    };
    let number = model.network.stops.len();
    let of = &model.network.stops[most];
    let lost = model.network.classes - 1;
    let stop = Stop {
        station: of.station,
        class: if load.short { lost } else { of.class },
        carrier: of.carrier,
        fits: total.max(of.fits),
        time: what_is_left(model, pace, load),
        yields: Uncertain::Known(1.0),
        then: if load.short {
            Then::Leave
        } else {
            onward(model, &parts)
        },
        rank: of.rank,
        // No other batch is of its group: there are no more kinds than stops of routes.
        group: number,
        draws: Vec::new(),
    };
    let place = Place {
        station: load.station.clone(),
        product: layout.stops[most].product.clone(),
    };
    add_stop(model, stop, place);
    model.start.busy.push(Busy {
        stop: number,
        helper: None,
        amount: total,
        age_min: 0.0,
        left_min: None,
    });
}

fn add_stop(model: &mut Model, stop: Stop, place: Place) {
    model.network.stops.push(stop);
    model.stops.push(place);
    model.start.waiting.push(Vec::new());
    model.start.shared.push(Vec::new());
    model.left_out.push(0.0);
    model.process_min.push(None);
    for helper in &mut model.network.helpers {
        helper.rates.push(None);
    }
}

/// Jars of several products go each to their own rack.
fn onward(model: &Model, parts: &[(f64, usize)]) -> Then {
    let next: Vec<(f64, usize)> = parts
        .iter()
        .filter_map(|(amount, stop)| match &model.network.stops[*stop].then {
            Then::Go(next) => Some((*amount, *next)),
            Then::Leave | Then::Chance(_) | Then::Share(_) | Then::Feed(_) => None,
        })
        .collect();
    match next[..] {
        [] => Then::Leave,
        [(_, only)] => Then::Go(only),
        _ => Then::Share(next),
    }
}

/// What is left of a load: only what is not the process varies.
fn what_is_left(model: &Model, pace: &Pace, load: &Load) -> Law {
    let canner = pace.canner(&load.station);
    let since = |at: Option<crate::day::time::Timestamp>| {
        at.map_or(0.0, |at| minutes_from(at, model.at).max(0.0))
    };
    let process = Law::Deterministic(f64::from(load.process.tested.minutes));
    let after = law(canner.after);
    match load.phase {
        LoadPhase::Loading => Law::Sum(vec![
            law(rest_of(canner.loading, since(Some(load.built_at)))),
            law(canner.heating),
            process,
            after,
        ]),
        LoadPhase::Heating => {
            let heating = match load.lost.last() {
                Some((_, lost_at)) => rest_of(BACK_TO_BOIL, since(Some(*lost_at))),
                None => rest_of(canner.heating, since(load.heated_at)),
            };
            Law::Sum(vec![law(heating), process, after])
        }
        LoadPhase::Venting => {
            let vented = since(load.vented_at);
            let venting = f64::from(trade::vent_minutes().value) - vented;
            let over = (-venting).max(0.0);
            Law::Sum(vec![
                Law::Deterministic(venting.max(0.0)),
                law(rest_of(TO_PRESSURE, over)),
                process,
                after,
            ])
        }
        LoadPhase::Timing => {
            let done = load.done_at().map_or(0.0, |at| minutes_from(model.at, at));
            Law::Sum(vec![
                Law::Deterministic(done.max(0.0)),
                law(rest_of(canner.after, (-done).max(0.0))),
            ])
        }
        LoadPhase::Resting => law(rest_of(canner.after, since(load.heat_off_at))),
        LoadPhase::Lifted | LoadPhase::Cancelled => Law::Deterministic(0.0),
    }
}

fn put_pots(model: &mut Model, layout: &Layout<'_>) {
    for (station, found) in &layout.state.stations {
        for batch in found.pots.values().filter_map(|pot| pot.batch.as_ref()) {
            let Some(stop) = layout.stop(station, &batch.product) else {
                continue;
            };
            let amount = plain(batch.amount());
            if amount <= 0.0 || !matches!(works(model, stop), Works::Batches(_)) {
                continue;
            }
            let cooking = batch.cooking.is_some();
            let since = minutes_from(batch.filled_at, model.at).max(0.0);
            model.start.busy.push(Busy {
                stop,
                helper: None,
                amount,
                age_min: if cooking { since } else { 0.0 },
                left_min: None,
            });
        }
    }
}

fn works(model: &Model, stop: usize) -> &Works {
    &model.network.stations[model.network.stops[stop].station].works
}

/// A carrier in hand still waits on the board; here it is taken out of what waits, oldest first.
fn put_hands(model: &mut Model, layout: &Layout<'_>, pace: &Pace) {
    for (number, id) in layout.helpers.iter().enumerate() {
        let Some(hand) = pace.in_hand(id) else {
            continue;
        };
        let Some(stop) = layout.stop(&hand.station, &hand.product) else {
            continue;
        };
        let seated = model.start.seats[number] == Some(model.network.stops[stop].station);
        let able = model.network.helpers[number].rates[stop].is_some();
        if !seated || !able {
            continue;
        }
        let amount = take(
            &mut model.start.waiting[stop],
            model.network.stops[stop].carrier,
        );
        if amount > 0.0 {
            model.start.busy.push(Busy {
                stop,
                helper: Some(number),
                amount,
                age_min: hand.age_min.max(0.0),
                left_min: None,
            });
        }
    }
}

/// Takes up to an amount out of what waits, the oldest first; gives what was there.
fn take(waiting: &mut Vec<(f64, f64)>, amount: f64) -> f64 {
    let mut taken = 0.0;
    for (there, _) in waiting.iter_mut() {
        let part = (amount - taken).min(*there).max(0.0);
        *there -= part;
        taken += part;
    }
    waiting.retain(|(there, _)| *there > 1e-9);
    taken
}
