//! The best pace from here: the least minutes for what is left of a day.
//!
//! A bound in the mean: with rates, times and yields at their means no way to share the work is
//! faster on average, and none at all where nothing is left to chance.

use super::NoBound;
use super::reach::{Reach, reach, services_per_min};
use super::remaining::{WorkLeft, remaining};
use crate::outlook::model::Model;
use crate::outlook::report::PaceAgainstBest;
use crate::sim::{Busy, Law, Network, Start, Works};
use std::collections::BTreeMap;

/// The least minutes and what sets them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BestPace {
    /// Minutes from now.
    pub minutes: f64,
    /// Of these, what machines and waiting take even with any number of hands.
    pub machine_min: f64,
    /// By helper: minutes gained for one more minute of their presence; all 0 where no hands help.
    pub helper_dual: Vec<f64>,
}

/// The least minutes that the work left takes, from a network and where it stands. `counts` says of
/// each class whether its end is waited for; empty: all are.
///
/// # Errors
/// When there is work that nobody may do, or that never ends.
pub fn best_pace(network: &Network, start: &Start, counts: &[bool]) -> Result<BestPace, NoBound> {
    let counted = |stop: usize| {
        counts
            .get(network.stops[stop].class)
            .copied()
            .unwrap_or(true)
    };
    let mut reach = reach(network, start)?;
    for (stop, reach) in reach.iter_mut().enumerate() {
        if !counted(stop) {
            *reach = Reach::default();
        }
    }
    let machine_min = machine_min(network, start, &reach);
    let by_hand: Vec<usize> = (0..network.stops.len())
        .filter(|stop| {
            let station = &network.stations[network.stops[*stop].station];
            matches!(station.works, Works::Hands) && reach[*stop].amount > 1e-9
        })
        .collect();
    let columns: Vec<Vec<f64>> = by_hand
        .iter()
        .map(|stop| services_per_min(network, *stop))
        .collect();
    let nobody = columns
        .iter()
        .position(|column| column.iter().all(|rate| *rate <= 0.0));
    if let Some(place) = nobody {
        let station = network.stops[by_hand[place]].station;
        return Err(NoBound::NobodyMay(network.stations[station].name.clone()));
    }
    let mut at_station: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (place, stop) in by_hand.iter().enumerate() {
        at_station
            .entry(network.stops[*stop].station)
            .or_default()
            .push(place);
    }
    let left = remaining(&WorkLeft {
        rates: (0..network.helpers.len())
            .map(|helper| columns.iter().map(|column| column[helper]).collect())
            .collect(),
        units: by_hand
            .iter()
            .map(|stop| reach[*stop].amount / network.stops[*stop].carrier)
            .collect(),
        outside_min: by_hand
            .iter()
            .map(|stop| reach[*stop].head_min + reach[*stop].tail_min)
            .collect(),
        room: at_station
            .into_iter()
            .map(|(station, places)| (places, f64::from(network.stations[station].seats)))
            .collect(),
        machine_min,
    })?;
    Ok(BestPace {
        minutes: left.minutes,
        machine_min,
        helper_dual: left.helper_dual,
    })
}

/// The longest of what each machine still has to do, with the time until work is there and the
/// time after it.
fn machine_min(network: &Network, start: &Start, reach: &[Reach]) -> f64 {
    let stations = (0..network.stations.len()).map(|at| station_min(network, start, reach, at));
    let under_way = start.busy.iter().map(|busy| {
        let left = busy
            .left_min
            .unwrap_or_else(|| match network.stops[busy.stop].time {
                Law::Deterministic(minutes) if busy.helper.is_none() => {
                    (minutes - busy.age_min).max(0.0)
                }
                _ => 0.0,
            });
        left + reach[busy.stop].tail_min
    });
    stations.chain(under_way).fold(0.0, f64::max)
}

/// Minutes that a batch or an unattended service under way still takes, where they are known; what
/// is in somebody's hands may be done this minute.
fn left_min(network: &Network, busy: &Busy) -> f64 {
    let law = &network.stops[busy.stop].time;
    match (busy.left_min, law) {
        (Some(left), _) => left,
        (None, _) if busy.helper.is_some() => 0.0,
        (None, Law::Deterministic(minutes)) => (minutes - busy.age_min).max(0.0),
        (None, law) if busy.age_min <= 0.0 => law.mean(),
        (None, _) => 0.0,
    }
}

fn station_min(network: &Network, start: &Start, reach: &[Reach], at: usize) -> f64 {
    let station = &network.stations[at];
    let stops: Vec<usize> = (0..network.stops.len())
        .filter(|stop| network.stops[*stop].station == at && reach[*stop].amount > 1e-9)
        .collect();
    let least = |of: &dyn Fn(usize) -> f64| {
        let all = stops.iter().map(|stop| of(*stop));
        all.fold(f64::INFINITY, f64::min)
    };
    if stops.is_empty() {
        return 0.0;
    }
    let head = least(&|stop| reach[stop].head_min);
    let tail = least(&|stop| reach[stop].tail_min);
    let time = least(&|stop| network.stops[stop].time.mean()) * station.slowness.mean();
    let is_known = stops.iter().all(|stop| reach[*stop].is_known);
    let (services, places) = match &station.works {
        Works::Hands => return head + tail,
        Works::Servers(None) => return head + time * share_of_one(network, reach, &stops) + tail,
        Works::Servers(Some(places)) => (carriers(network, reach, &stops), f64::from(*places)),
        Works::Batches(batches) => (
            loads(network, reach, &stops, is_known),
            f64::from(batches.servers),
        ),
    };
    let running: f64 = start
        .busy
        .iter()
        .filter(|busy| network.stops[busy.stop].station == at)
        .map(|busy| left_min(network, busy))
        .sum();
    // A batch is whole whatever is in it; with known amounts one place has at least so many.
    let is_batch = matches!(station.works, Works::Batches(_));
    let each = if is_batch && is_known {
        (services / places - 1e-9).ceil()
    } else {
        services / places
    };
    let from_first = head + each * time + tail;
    let from_now = (running + services * time) / places + tail;
    from_first.max(from_now)
}

fn carriers(network: &Network, reach: &[Reach], stops: &[usize]) -> f64 {
    let each = stops
        .iter()
        .map(|stop| reach[*stop].amount / network.stops[*stop].carrier);
    each.sum()
}

fn share_of_one(network: &Network, reach: &[Reach], stops: &[usize]) -> f64 {
    carriers(network, reach, stops).min(1.0)
}

/// Batches that the work takes at least; each holds one group only.
fn loads(network: &Network, reach: &[Reach], stops: &[usize], is_known: bool) -> f64 {
    let mut groups: BTreeMap<usize, f64> = BTreeMap::new();
    for stop in stops {
        let found = &network.stops[*stop];
        *groups.entry(found.group).or_default() += reach[*stop].amount / found.fits;
    }
    let whole = |loads: &f64| {
        if is_known {
            (loads - 1e-9).ceil()
        } else {
            *loads
        }
    };
    groups.values().map(whole).sum()
}

/// The least minutes for what is left of a day against the minutes it takes as people sit now (the
/// middle of the forecast). `None` when nothing is left, or when no bound is known.
pub fn pace_against_best(model: &Model, now_min: f64) -> Option<PaceAgainstBest> {
    let best = best_pace(&model.network, &model.start, &model.counts).ok()?;
    // The bound holds in the mean; a middle can lie a little lower.
    let best_min = best.minutes.min(now_min);
    (now_min > 0.0).then(|| PaceAgainstBest {
        best_min,
        now_min,
        share: best_min / now_min,
    })
}
