//! What of a network does not change from run to run: which stops can still get work from which.

use super::network::{Network, Source, Then};

/// Stops that can send work to each other in a circle, or one stop alone.
#[derive(Debug, Default)]
pub(super) struct Circle {
    pub(super) stops: Vec<u32>,
    /// Whether work can come back to where it was.
    pub(super) is_closed: bool,
    /// The circles its work goes to next, each once.
    pub(super) after: Vec<u32>,
    /// The supplies its work feeds, each once.
    pub(super) feeds: Vec<u32>,
}

/// The ways of work.
#[derive(Debug, Default)]
pub(super) struct Plan {
    /// In the order work flows.
    pub(super) circles: Vec<Circle>,
    /// The circle of each stop.
    pub(super) circle_of: Vec<u32>,
    /// How many circles send work to each circle.
    pub(super) before: Vec<u32>,
    /// How many circles feed each supply.
    pub(super) feeders: Vec<u32>,
    /// For each stop whether it never runs out.
    pub(super) is_endless: Vec<bool>,
    /// Whether room is limited anywhere.
    pub(super) has_rooms: bool,
}

/// The stops that work goes to from here.
pub(super) fn ways(then: &Then) -> Vec<usize> {
    match then {
        Then::Leave | Then::Feed(_) => Vec::new(),
        Then::Go(stop) => vec![*stop],
        Then::Chance(ways) => ways.iter().filter_map(|(_, to)| *to).collect(),
        Then::Share(ways) => ways.iter().map(|(_, to)| *to).collect(),
    }
}

impl Plan {
    pub(super) fn new(network: &Network) -> Plan {
        let to: Vec<Vec<usize>> = network.stops.iter().map(|stop| ways(&stop.then)).collect();
        let circle_of = circles(&to);
        let count = circle_of.iter().max().map_or(0, |last| *last as usize + 1);
        let mut plan = Plan {
            circles: (0..count).map(|_| Circle::default()).collect(),
            before: vec![0; count],
            feeders: vec![0; network.supplies.len()],
            is_endless: vec![false; network.stops.len()],
            has_rooms: network
                .stations
                .iter()
                .any(|station| station.room.is_some()),
            circle_of,
        };
        for source in &network.sources {
            if let Source::Unlimited { stop } = source {
                plan.is_endless[*stop] = true;
            }
        }
        for (stop, ways) in to.iter().enumerate() {
            let own = plan.circle_of[stop];
            let circle = &mut plan.circles[own as usize];
            circle.stops.push(stop as u32);
            for way in ways {
                let next = plan.circle_of[*way];
                if next == own {
                    circle.is_closed = true;
                } else {
                    circle.after.push(next);
                }
            }
            if let Then::Feed(supply) = network.stops[stop].then {
                circle.feeds.push(supply as u32);
            }
        }
        for circle in &mut plan.circles {
            circle.after.sort_unstable();
            circle.after.dedup();
            circle.feeds.sort_unstable();
            circle.feeds.dedup();
            for next in &circle.after {
                plan.before[*next as usize] += 1;
            }
            for supply in &circle.feeds {
                plan.feeders[*supply as usize] += 1;
            }
        }
        plan
    }
}

/// The strongly connected part each stop belongs to, numbered in the order work flows (Kosaraju
/// and Sharir: once forwards for the order of leaving, once backwards for the parts).
fn circles(to: &[Vec<usize>]) -> Vec<u32> {
    let mut from = vec![Vec::new(); to.len()];
    for (stop, ways) in to.iter().enumerate() {
        for way in ways {
            from[*way].push(stop);
        }
    }
    let mut left = Vec::with_capacity(to.len());
    let mut seen = vec![false; to.len()];
    for stop in 0..to.len() {
        walk(to, stop, &mut seen, |done| left.push(done));
    }
    let mut circle_of = vec![0; to.len()];
    let mut seen = vec![false; to.len()];
    let mut count = 0;
    for stop in left.into_iter().rev() {
        let mut is_new = false;
        walk(&from, stop, &mut seen, |done| {
            circle_of[done] = count;
            is_new = true;
        });
        count += u32::from(is_new);
    }
    circle_of
}

/// Visits what can be reached and was not seen; `leave` is told of each when all behind it is done.
fn walk(to: &[Vec<usize>], first: usize, seen: &mut [bool], mut leave: impl FnMut(usize)) {
    if seen[first] {
        return;
    }
    seen[first] = true;
    let mut path = vec![(first, 0)];
    while let Some((stop, tried)) = path.last_mut() {
        let Some(next) = to[*stop].get(*tried).copied() else {
            leave(*stop);
            path.pop();
            continue;
        };
        *tried += 1;
        if !seen[next] {
            seen[next] = true;
            path.push((next, 0));
        }
    }
}
