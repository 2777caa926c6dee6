//! Who can do what how fast, where they sit, and when they rest.

use super::layout::Layout;
use super::{Model, is_by_hand, minutes_from};
use crate::day::ids::{HelperId, StationId};
use crate::day::plan::{self, Verdict};
use crate::day::state::{HelperState, Presence};
use crate::day::verdict;
use crate::pace::{CHANGE_MIN, Doing, PRIOR_SHAPE, Pace, usual_rate};
use crate::sim::{Helper, Network, Rests, Uncertain, Works};
use std::collections::BTreeSet;

/// Minutes between two rests, by age: adults, teens, children (common practice, no source).
const RESTS_EVERY_MIN: [f64; 3] = [120.0, 90.0, 60.0];
/// Minutes of one rest (common practice, no source).
const REST_MIN: f64 = 12.0;
/// So long an absence is taken for a rest.
const COUNTS_AS_REST_MIN: f64 = 5.0;

/// Puts the helpers into the network and on their seats.
pub(super) fn seat(model: &mut Model, layout: &Layout<'_>, pace: &Pace) {
    for id in &layout.helpers {
        let Some(found) = layout.state.helpers.get(id) else {
            unreachable!("the layout lists helpers of the day");
        };
        let resting = found.presence == Presence::Resting;
        let away = if resting {
            let left = pace.rests(id).unwrap_or(REST_MIN);
            vec![(0.0, left.max(0.0))]
        } else {
            Vec::new()
        };
        model.network.helpers.push(Helper {
            name: found.plan.name.clone(),
            rates: rates(layout, pace, &model.network, (id, found)),
            speed: Uncertain::Known(1.0),
            away,
            rests: Some(rests(model, pace, id, found)),
            prefers: Vec::new(),
            turns: Vec::new(),
            serves: Vec::new(),
        });
        let seat = found.station.as_ref();
        let seat = seat.or_else(|| left_seat(layout, pace, (id, found), &model.start.seats));
        let seat = seat.and_then(|station| layout.stations.binary_search(station).ok());
        model.start.seats.push(seat);
        model.start.ready_min.push(ready(model, layout, id, found));
    }
}

/// Somebody who rests goes back to the seat they left, if it is still free.
fn left_seat<'a>(
    layout: &Layout<'_>,
    pace: &'a Pace,
    (id, found): (&HelperId, &HelperState),
    seats: &[Option<usize>],
) -> Option<&'a StationId> {
    if found.presence != Presence::Resting {
        return None;
    }
    let spans = pace.helper_spans().get(id)?;
    let left = spans.iter().rev().find_map(|span| span.station.as_ref())?;
    let station = layout.state.stations.get(left)?;
    let number = layout.stations.binary_search(left).ok();
    let back = seats.iter().enumerate().filter(|(helper, seat)| {
        let other = layout
            .helpers
            .get(*helper)
            .and_then(|id| layout.state.helpers.get(id));
        **seat == number && other.is_some_and(|other| other.station.is_none())
    });
    let taken = station.seats.len() + back.count();
    let free = taken < usize::try_from(station.plan.seats).unwrap_or(usize::MAX);
    (station.set_up && free).then_some(left)
}

/// Somebody who has just sat down needs a moment before the first carrier.
fn ready(model: &Model, layout: &Layout<'_>, id: &HelperId, found: &HelperState) -> f64 {
    let station = found
        .station
        .as_ref()
        .and_then(|station| layout.state.stations.get(station));
    let seat = station.and_then(|station| station.seats.get(id));
    seat.map_or(0.0, |seat| {
        let since = minutes_from(seat.since, model.at).max(0.0);
        (CHANGE_MIN - since).max(0.0)
    })
}

fn rates(
    layout: &Layout<'_>,
    pace: &Pace,
    network: &Network,
    (id, found): (&HelperId, &HelperState),
) -> Vec<Option<Uncertain>> {
    let state = layout.state;
    let rules = state.age_rules();
    let other_adult = layout.helpers.iter().any(|other| {
        let other_found = state.helpers.get(other);
        other != id && other_found.is_some_and(|other| other.plan.is_adult())
    });
    let rate = |(number, place): (usize, &crate::day::command::Place)| {
        let station = state.stations.get(&place.station)?;
        if !is_by_hand(&station.plan.nature) {
            return None;
        }
        let allowed = match verdict(&rules, &found.plan, &station.plan) {
            Verdict::Never => false,
            Verdict::Allowed => true,
            Verdict::WithAdult => other_adult,
        };
        // Whoever sits there was let in.
        if !allowed && found.station.as_ref() != Some(&place.station) {
            return None;
        }
        let told = pace.rate(state, id, &place.station, &place.product);
        let sound = told.shape > 0.0 && told.rate > 0.0 && told.mean().is_finite();
        sound.then(|| {
            debug_assert!(network.stops[number].carrier > 0.0);
            Uncertain::Gamma {
                shape: told.shape,
                rate: told.rate,
            }
        })
    };
    layout.stops.iter().enumerate().map(rate).collect()
}

/// The rests still to expect. Somebody who has gone longer without than is usual will do so again.
fn rests(model: &Model, pace: &Pace, id: &HelperId, found: &HelperState) -> Rests {
    let usual = RESTS_EVERY_MIN[match found.plan.age {
        18.. => 0,
        13..=17 => 1,
        0..=12 => 2,
    }];
    let awake = awake_min(model, pace, id).max(0.0);
    let every_min = usual.max(awake);
    let resting = found.presence == Presence::Resting;
    let first_min = match (resting, awake < usual) {
        (true, _) => every_min + REST_MIN,
        (false, true) => usual - awake,
        (false, false) => awake,
    };
    Rests {
        first_min,
        every_min,
        lasts_min: REST_MIN,
    }
}

/// Minutes since somebody last came, or came back from a rest.
fn awake_min(model: &Model, pace: &Pace, id: &HelperId) -> f64 {
    let spans = pace.helper_spans().get(id).map_or(&[][..], Vec::as_slice);
    let rest = spans.iter().rev().find(|span| {
        let lasted = minutes_from(span.from, span.to);
        span.doing == Doing::Away && span.station.is_none() && lasted >= COUNTS_AS_REST_MIN
    });
    let since = rest
        .map(|rest| rest.to)
        .or(spans.first().map(|first| first.from));
    since.map_or(0.0, |since| minutes_from(since, model.at))
}

/// The rates of an adult nobody has seen work yet, at every hand stop; `None` elsewhere.
pub(in crate::outlook) fn usual_rates(
    model: &Model,
    state: &crate::day::State,
) -> Vec<Option<Uncertain>> {
    let somebody = plan::Helper {
        name: String::new(),
        sign: String::new(),
        age: 35,
        limits: BTreeSet::new(),
        likes: BTreeSet::new(),
        here: true,
    };
    let rate = |(number, stop): (usize, &crate::sim::Stop)| {
        if model.network.stations[stop.station].works != Works::Hands {
            return None;
        }
        let place = model.stops.get(number)?;
        let work = state.stations.get(&place.station)?.plan.work;
        let product = &state.products.get(&place.product)?.plan;
        let step = state.step(&place.product, &place.station)?;
        let mean = usual_rate(work, product, step, &somebody);
        (mean > 0.0 && mean.is_finite()).then(|| Uncertain::Gamma {
            shape: PRIOR_SHAPE,
            rate: PRIOR_SHAPE / mean,
        })
    };
    model.network.stops.iter().enumerate().map(rate).collect()
}
