//! Where a helper could go, for the list on their own screen.

use super::candidates::steps_of;
use super::make::tenths;
use super::model::Model;
use super::report::Choice;
use crate::day::ids::HelperId;
use crate::day::state::State;
use crate::day::time::Timestamp;

/// How many are listed.
const LISTED: usize = 4;

/// Where a helper could go now: allowed, with a free seat; where work waits and nobody sits first,
/// then where most waits for each pair of hands, then what they like.
/// `depth` are the minutes that wait, by station.
pub fn choices(
    state: &State,
    model: &Model,
    depth: &[f64],
    now: Timestamp,
    helper: &HelperId,
) -> Vec<Choice> {
    let Some(number) = model.helper(helper) else {
        return Vec::new();
    };
    let likes = |choice: &Choice| {
        let pair = state
            .helpers
            .get(helper)
            .zip(state.stations.get(&choice.station));
        pair.is_some_and(|(helper, station)| helper.plan.likes.contains(&station.plan.work))
    };
    let mut found: Vec<(f64, Choice)> = steps_of(state, now, helper)
        .into_iter()
        .filter_map(|step| {
            let station = model.station(&step.to)?;
            let seated = state.stations.get(&step.to)?.seats.len();
            // With somebody there already, the newcomer takes a share of what waits.
            let for_them = minutes_for(model, station, number) / (seated + 1) as f64;
            let mut choice = Choice {
                waiting_min: tenths(depth[station]),
                needs_hands: seated == 0 && for_them > 0.0,
                likes: false,
                with_adult: step.beside.is_some(),
                station: step.to,
            };
            choice.likes = likes(&choice);
            Some((for_them, choice))
        })
        .collect();
    found.sort_by(|(one_min, one), (other_min, other)| {
        let by_need = other.needs_hands.cmp(&one.needs_hands);
        // Less than a minute's difference is none.
        let by_minutes = other_min.round().total_cmp(&one_min.round());
        by_need.then(by_minutes).then(other.likes.cmp(&one.likes))
    });
    found
        .into_iter()
        .map(|(_, choice)| choice)
        .take(LISTED)
        .collect()
}

/// Minutes of work that wait at a station, for one helper alone; work they may not do is none.
fn minutes_for(model: &Model, station: usize, helper: usize) -> f64 {
    let stops = model.network.stops.iter().enumerate();
    let here = stops.filter(|(_, stop)| stop.station == station);
    let minutes = here.filter_map(|(number, stop)| {
        let rate = model.network.helpers[helper].rates[number].as_ref()?;
        let service = stop.time.mean() / rate.mean();
        Some(model.open_at(number) / stop.carrier * service)
    });
    minutes.sum()
}
