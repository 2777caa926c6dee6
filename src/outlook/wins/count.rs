//! Where a count would tell most: much came by a yield that is only promised, and the rest of the
//! day hangs on it.

use crate::day::state::State;
use crate::outlook::depth::work_min;
use crate::outlook::model::{Model, at_stops, usual_rates};
use crate::outlook::report::Win;
use crate::outlook::through::{Through, middle};
use crate::pace::count_sigma;
use crate::sim::{Uncertain, Unsure};

/// Minutes of work that must hang on a count, as on a move (judgement, no source).
const LEAST_AT_STAKE_MIN: f64 = 5.0;

/// The one count that would tell most, if one is worth it.
pub fn count_worth_it(state: &State, model: &Model) -> Option<Win> {
    let (waits, usual) = (at_stops(model), usual_rates(model, state));
    let comes = Through::of(&model.network, &waits).at;
    // Jars and bags were tapped one by one.
    let is_bulk = |unsure: &&Unsure| {
        let place = model.stops.get(unsure.stop);
        let step = place.and_then(|place| state.step(&place.product, &place.station));
        step.is_some_and(|step| !step.measure.is_counted())
    };
    let at_stake = |unsure: &Unsure| {
        let Uncertain::Lognormal { sigma, .. } = model.network.stops[unsure.from].yields else {
            return 0.0;
        };
        // What came by the yield and was not counted, and what is still to come by it.
        let came = unsure.amount.min(waits[unsure.stop]);
        let coming = comes[unsure.from] * middle(&model.network.stops[unsure.from].yields);
        let carriers = unsure.amount / model.network.stops[unsure.stop].carrier;
        learnt(sigma, carriers) * longest_min(model, &usual, unsure.stop, came + coming)
    };
    let asked = model.start.unsure.iter().filter(is_bulk);
    let (at_stake_min, best) = asked
        .map(|unsure| (at_stake(unsure), unsure))
        .filter(|(minutes, _)| *minutes >= LEAST_AT_STAKE_MIN)
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let place = model.stops.get(best.stop)?;
    Some(Win::Count {
        station: place.station.clone(),
        product: place.product.clone(),
        at_stake_min,
    })
}

/// How far a count of so many carriers can be expected to move a yield whose logarithm is known to
/// `sigma`: the spread of what will be believed after it.
fn learnt(sigma: f64, carriers: f64) -> f64 {
    if carriers <= 0.0 || sigma <= 0.0 {
        return 0.0;
    }
    let known = 1.0 / (sigma * sigma) + 1.0 / count_sigma(carriers).powi(2);
    (sigma * sigma - 1.0 / known).max(0.0).sqrt()
}

/// Minutes that the busiest stop works on all that comes of so much at a stop.
fn longest_min(model: &Model, usual: &[Option<Uncertain>], stop: usize, amount: f64) -> f64 {
    let through = Through::from_stop(&model.network, stop, amount).at;
    let minutes = through.iter().enumerate();
    minutes
        .map(|(stop, amount)| work_min(model, usual, stop, *amount))
        .fold(0.0, f64::max)
}
