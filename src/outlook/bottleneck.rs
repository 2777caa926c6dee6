//! What holds the kitchen up now, and what sets its finish; with a name that stays put.
//!
//! Now: the station with the longest unbroken active period (Roser, Nakano & Tanaka, "Shifting
//! bottleneck detection", 2002). Live, that period is not over, so the name is provisional. A pot
//! that cooks for hours is active all the while; it counts only while something waits for it. The
//! finish: the station that spent most of the critical chain in most simulated days.

mod name;

use super::forecast::Forecast;
use super::make::{share as hundredths, tenths};
use super::model::{Model, minutes_from};
use super::report::{HoldsUpNow, SetsFinish};
use crate::day::ids::StationId;
use crate::day::time::Timestamp;
use crate::pace::{Doing, Pace, Span};
use crate::sim::{Then, Works};
use std::collections::BTreeMap;

pub use name::{Name, Rule};

/// A pause between two carriers is no end of an active period (from memory).
const BRIDGED_MIN: f64 = 1.5;

/// A new station must have been active this much longer, for so long, before it takes the name.
const NOW: Rule = Rule {
    lead: 5.0,
    for_min: 4.0,
};
/// A new station must set the finish in this share of the days more, for so long.
const FINISH: Rule = Rule {
    lead: 0.1,
    for_min: 4.0,
};

/// Minutes a station has worked without a pause up to `now`; 0 if it does not work.
pub fn active_min(spans: &[Span], now: Timestamp) -> f64 {
    let mut since = None;
    for span in spans.iter().rev() {
        let to = span.to.min(now);
        if span.from > now {
            continue;
        }
        let gap = minutes_from(to, since.unwrap_or(now)) > BRIDGED_MIN;
        if gap {
            break;
        }
        match span.doing {
            Doing::Working => since = Some(span.from),
            Doing::Starved | Doing::Blocked | Doing::Unstaffed | Doing::Away => {
                if minutes_from(span.from, since.unwrap_or(now)) > BRIDGED_MIN {
                    break;
                }
            }
        }
    }
    since.map_or(0.0, |since| minutes_from(since, now))
}

/// What a station did last, up to `now`.
pub fn doing(spans: &[Span], now: Timestamp) -> Option<Doing> {
    let last = spans.iter().rev().find(|span| span.from <= now);
    last.map(|span| span.doing)
}

/// What holds the kitchen up now, and the name to remember.
pub fn holds_up_now(
    model: &Model,
    pace: &Pace,
    now: Timestamp,
    before: &Name,
) -> (Option<HoldsUpNow>, Name) {
    let active = |(number, id): (usize, &StationId)| {
        let spans = pace.spans().get(id).map_or(&[][..], Vec::as_slice);
        may_hold_up(model, number).then(|| (id.clone(), active_min(spans, now)))
    };
    let stations = model.stations.iter().enumerate();
    let scores: BTreeMap<StationId, f64> = stations.filter_map(active).collect();
    let name = before.next(now, &scores, NOW);
    let told = name.station.clone().map(|station| HoldsUpNow {
        without_pause_min: tenths(scores.get(&station).copied().unwrap_or(0.0)),
        starves: starves(model, pace, now, &station),
        station,
    });
    (told, name)
}

/// Whether a station can hold others up: not a shelf or rack, and not a pot or canner for which
/// nothing waits, however long its batch takes.
fn may_hold_up(model: &Model, station: usize) -> bool {
    match &model.network.stations[station].works {
        Works::Hands => true,
        Works::Servers(_) => false,
        Works::Batches(_) => {
            let stops = model.network.stops.iter().enumerate();
            let mut here = stops.filter(|(_, stop)| stop.station == station);
            here.any(|(stop, _)| model.open_at(stop) > 0.0)
        }
    }
}

/// The nearest station behind that waits for work.
fn starves(model: &Model, pace: &Pace, now: Timestamp, station: &StationId) -> Option<StationId> {
    let station = model.station(station)?;
    let mut seen = vec![false; model.network.stations.len()];
    let mut open = vec![station];
    while !open.is_empty() {
        let mut next = Vec::new();
        for stop in &model.network.stops {
            if !open.contains(&stop.station) {
                continue;
            }
            for to in behind(&stop.then) {
                let to = model.network.stops[to].station;
                if to != station && !std::mem::replace(&mut seen[to], true) {
                    next.push(to);
                }
            }
        }
        next.sort_unstable();
        for to in &next {
            let id = &model.stations[*to];
            let spans = pace.spans().get(id).map_or(&[][..], Vec::as_slice);
            let works = !matches!(model.network.stations[*to].works, Works::Servers(_));
            if works && doing(spans, now) == Some(Doing::Starved) {
                return Some(id.clone());
            }
        }
        open = next;
    }
    None
}

fn behind(then: &Then) -> Vec<usize> {
    match then {
        Then::Go(to) => vec![*to],
        Then::Share(ways) => ways.iter().map(|(_, to)| *to).collect(),
        Then::Chance(ways) => ways.iter().filter_map(|(_, to)| *to).collect(),
        Then::Leave | Then::Feed(_) => Vec::new(),
    }
}

/// What sets the finish, and the name to remember.
pub fn sets_finish(
    model: &Model,
    forecast: &Forecast,
    now: Timestamp,
    before: &Name,
) -> (Option<SetsFinish>, Name) {
    let share = |(number, id): (usize, &StationId)| (id.clone(), forecast.share_set_by(number));
    let scores: BTreeMap<StationId, f64> = model.stations.iter().enumerate().map(share).collect();
    let name = before.next(now, &scores, FINISH);
    let told = name.station.clone().and_then(|station| {
        let share = scores.get(&station).copied().filter(|share| *share > 0.0)?;
        let share = hundredths(share);
        Some(SetsFinish { station, share })
    });
    (told, name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::time::SECOND_MS;

    fn span(from_s: i64, to_s: i64, doing: Doing) -> Span {
        Span {
            from: Timestamp(from_s * SECOND_MS),
            to: Timestamp(to_s * SECOND_MS),
            doing,
        }
    }

    #[test]
    fn an_active_period_runs_to_now_and_bridges_short_pauses_only() {
        use Doing::{Starved, Working};
        let spans = [
            span(0, 600, Working),
            span(600, 660, Starved),
            span(660, 1200, Working),
        ];
        let now = Timestamp(1200 * SECOND_MS);
        assert_eq!(active_min(&spans, now), 20.0);
        let long = [
            span(0, 600, Working),
            span(600, 900, Starved),
            span(900, 1200, Working),
        ];
        assert_eq!(active_min(&long, now), 5.0);
        let over = [span(0, 600, Working), span(600, 1200, Starved)];
        assert_eq!(active_min(&over, now), 0.0);
        // A pause that has only just begun.
        let pause = [span(0, 1140, Working), span(1140, 1200, Starved)];
        assert_eq!(active_min(&pause, now), 20.0);
        assert_eq!(active_min(&[], now), 0.0);
    }
}
