//! How much work is still to pass each stop, and how soon and how late it can be there.

use super::NoBound;
use crate::sim::{Law, Network, Source, Start, Stop, Then, Uncertain, Works};

/// The work left at a stop.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Reach {
    /// What is still to be taken here, in the stop's unit: what waits and all on its way.
    pub amount: f64,
    /// Whether that is known: no yield before it is uncertain, nothing goes by chance.
    pub is_known: bool,
    /// Minutes until the first of it can be here, at least.
    pub head_min: f64,
    /// Minutes from the last of it being done here until it is finished, at least.
    pub tail_min: f64,
}

/// Sweeps over all stops until nothing changes; work that is done again and again dies out.
const SWEEPS: usize = 500;

/// The mean of the shortest of `count` services at once, or less: for every law that ages (gamma of
/// shape 1 and above) it is at least the mean over the count (Barlow and Proschan 1975; from memory).
fn soonest_of(law: &Law, count: f64) -> f64 {
    match law {
        Law::Deterministic(minutes) => *minutes,
        Law::Empirical(list) | Law::Sequence(list) => {
            list.iter().copied().fold(f64::INFINITY, f64::min)
        }
        Law::Sum(parts) => parts.iter().map(|part| soonest_of(part, count)).sum(),
        Law::Exponential(_) | Law::Gamma { .. } | Law::Lognormal { .. } => {
            law.mean() / count.max(1.0)
        }
    }
}

/// By helper: services a minute at a stop, 0 where they may not work.
pub(super) fn services_per_min(network: &Network, stop: usize) -> Vec<f64> {
    let found = &network.stops[stop];
    let minutes = found.time.mean() * network.stations[found.station].slowness.mean();
    let rate = |helper: &crate::sim::Helper| {
        let rate = helper.rates.get(stop).and_then(Option::as_ref);
        rate.map_or(0.0, |rate| rate.mean() * helper.speed.mean() / minutes)
    };
    network.helpers.iter().map(rate).collect()
}

/// Minutes of one service at its fastest, counted as `law_min` says.
fn service_min(network: &Network, stop: usize, law_min: impl Fn(&Law, f64) -> f64) -> f64 {
    let found = &network.stops[stop];
    let station = &network.stations[found.station];
    let slowness = station.slowness.mean();
    let (fastest, at_once) = match &station.works {
        Works::Hands => {
            let rate = |helper: &crate::sim::Helper| {
                let rate = helper.rates.get(stop).and_then(Option::as_ref)?;
                Some(rate.mean() * helper.speed.mean())
            };
            let rates = network.helpers.iter().filter_map(rate);
            (rates.fold(0.0, f64::max), f64::from(station.seats))
        }
        Works::Servers(count) => (1.0, count.map_or(f64::INFINITY, f64::from)),
        Works::Batches(batches) => (1.0, f64::from(batches.servers)),
    };
    if fastest > 0.0 {
        law_min(&found.time, at_once) * slowness / fastest
    } else {
        0.0
    }
}

/// Where work goes from a stop, with its share of it.
fn ways(stop: &Stop) -> Vec<(f64, usize)> {
    match &stop.then {
        Then::Leave | Then::Feed(_) => Vec::new(),
        Then::Go(next) => vec![(1.0, *next)],
        Then::Chance(ways) => ways
            .iter()
            .filter_map(|(chance, next)| Some((*chance, (*next)?)))
            .collect(),
        Then::Share(ways) => {
            let sum: f64 = ways.iter().map(|(weight, _)| weight).sum();
            let share = |(weight, next): &(f64, usize)| (weight / sum, *next);
            ways.iter().map(share).collect()
        }
    }
}

fn may_leave(stop: &Stop) -> bool {
    match &stop.then {
        Then::Leave | Then::Feed(_) => true,
        Then::Go(_) | Then::Share(_) => false,
        Then::Chance(ways) => ways
            .iter()
            .any(|(chance, next)| next.is_none() && *chance > 0.0),
    }
}

/// The work left at every stop.
pub(super) fn reach(network: &Network, start: &Start) -> Result<Vec<Reach>, NoBound> {
    let count = network.stops.len();
    let own = own_work(network, start)?;
    let mut inside = vec![0.0; count];
    for busy in &start.busy {
        inside[busy.stop] += busy.amount;
    }
    let mut amount = own.clone();
    for _ in 0..SWEEPS {
        let mut next = own.clone();
        for (stop, found) in network.stops.iter().enumerate() {
            let goes_on = (amount[stop] + inside[stop]) * found.yields.mean();
            for (share, to) in ways(found) {
                next[to] += goes_on * share;
            }
        }
        let still = next
            .iter()
            .zip(&amount)
            .all(|(new, old)| (new - old).abs() < 1e-9);
        amount = next;
        if still {
            break;
        }
    }
    let known = known(network);
    let heads = heads(network, &own, &inside);
    let tails = tails(network, &amount, &known);
    let stops = amount.into_iter().zip(known).zip(heads).zip(tails);
    let reach = stops.map(|(((amount, is_known), head_min), tail_min)| Reach {
        amount,
        is_known,
        head_min: if head_min.is_finite() { head_min } else { 0.0 },
        tail_min,
    });
    Ok(reach.collect())
}

/// What waits at each stop or arrives there from outside.
fn own_work(network: &Network, start: &Start) -> Result<Vec<f64>, NoBound> {
    let waits = |stop: usize| {
        let layers = start.waiting.get(stop).into_iter().flatten();
        layers.map(|(amount, _)| amount).sum::<f64>()
    };
    let mut own: Vec<f64> = (0..network.stops.len()).map(waits).collect();
    for source in &network.sources {
        let (stop, carriers) = match source {
            Source::Unlimited { .. } | Source::Renewal { limit: None, .. } => {
                return Err(NoBound::NoEnd);
            }
            Source::Renewal {
                stop,
                limit: Some(limit),
                ..
            } => (*stop, *limit as f64),
            Source::Times { stop, at } => (*stop, at.len() as f64),
        };
        own[stop] += carriers * network.stops[stop].carrier;
    }
    Ok(own)
}

/// Whether what comes to each stop is known: spoils along the ways until nothing changes.
fn known(network: &Network) -> Vec<bool> {
    let mut known = vec![true; network.stops.len()];
    for _ in 0..network.stops.len() {
        for (stop, found) in network.stops.iter().enumerate() {
            let sure = known[stop]
                && matches!(found.yields, Uncertain::Known(_))
                && matches!(found.then, Then::Leave | Then::Feed(_) | Then::Go(_));
            for (_, to) in ways(found) {
                known[to] &= sure;
            }
        }
    }
    known
}

fn heads(network: &Network, own: &[f64], inside: &[f64]) -> Vec<f64> {
    let at_once = |own: &f64| if *own > 0.0 { 0.0 } else { f64::INFINITY };
    let mut heads: Vec<f64> = own.iter().map(at_once).collect();
    for _ in 0..network.stops.len() {
        for (stop, found) in network.stops.iter().enumerate() {
            // A carrier in hand may be done this minute, and a small one takes its share of the time.
            let share = (own[stop] / found.carrier).min(1.0);
            let share = if own[stop] > 0.0 { share } else { 0.0 };
            let first = if inside[stop] > 0.0 {
                0.0
            } else {
                let whole = service_min(network, stop, soonest_of);
                heads[stop]
                    + if is_batch(network, stop) {
                        whole
                    } else {
                        whole * share
                    }
            };
            for (_, to) in ways(found) {
                heads[to] = heads[to].min(first);
            }
        }
    }
    heads
}

fn is_batch(network: &Network, stop: usize) -> bool {
    let station = &network.stations[network.stops[stop].station];
    matches!(station.works, Works::Batches(_))
}

fn tails(network: &Network, amount: &[f64], known: &[bool]) -> Vec<f64> {
    let last_service = |stop: usize| {
        let whole = service_min(network, stop, |law, _| law.mean());
        if is_batch(network, stop) {
            return whole;
        }
        // The last carrier may hold less, and takes its share of the time.
        let carriers = amount[stop] / network.stops[stop].carrier;
        let rest = carriers - (carriers - 1e-9).floor();
        if known[stop] {
            whole * rest.clamp(0.0, 1.0)
        } else {
            0.0
        }
    };
    let mut tails = vec![0.0; network.stops.len()];
    for _ in 0..network.stops.len() {
        let before = tails.clone();
        for (stop, found) in network.stops.iter().enumerate() {
            let after = ways(found)
                .into_iter()
                .map(|(_, to)| last_service(to) + before[to])
                .fold(f64::INFINITY, f64::min);
            let leaves = may_leave(found) || !after.is_finite();
            tails[stop] = if leaves { 0.0 } else { after };
        }
    }
    tails
}
