//! The first run from close by: what passed when, its batches, and what held it up.

use serde::Serialize;

use crate::sim::bottleneck::{active_period, arrows};
use crate::sim::format::Task;
use crate::sim::{Outcome, Then, Works};

/// Longer runs are not told service by service.
const MOST_PASSED: usize = 1_000;

/// What happened in the first run.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FirstRun {
    /// When the last service ended, in minutes.
    pub finish_min: f64,
    /// Every service in the order of their starts; empty when there are more than a thousand.
    pub services: Vec<Passed>,
    /// The batches in the order of their starts.
    pub batches: Vec<Passed>,
    /// The bottleneck by active periods; a station still at work at the end may yet have longer.
    pub active: Active,
    /// The bottleneck by arrows, where the stations are one line with limited room.
    pub arrows: Option<ArrowSigns>,
}

/// One service or batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Passed {
    /// The step.
    pub step: String,
    /// Who did it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub helper: Option<String>,
    /// When it began, in minutes.
    pub began_min: f64,
    /// When it ended.
    pub ended_min: f64,
    /// When the work left the place; later than the end if that was blocked.
    pub left_min: f64,
    /// How much was in it.
    pub amount: f64,
}

/// The bottleneck by active periods, in minutes of the measured window (Roser, Nakano and Tanaka
/// 2002).
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Active {
    /// Minutes that each station was it alone, by station.
    pub sole: Vec<f64>,
    /// Minutes that each shared in while it shifted, by station.
    pub shifting: Vec<f64>,
    /// Minutes with no station active.
    pub none: f64,
    /// From, until, station; the stretches in order. Empty when there are more than a thousand.
    pub momentary: Vec<(f64, f64, Option<String>)>,
    /// The station with the most minutes, alone or shared.
    pub most: Option<String>,
}

/// The bottleneck by arrows (Kuo, Lim and Meerkov 1996).
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ArrowSigns {
    /// The stations in the order of the line.
    pub line: Vec<String>,
    /// "->" or "<-" between each two.
    pub signs: Vec<&'static str>,
    /// The stations that no arrow leaves, with their severity.
    pub bottlenecks: Vec<(String, f64)>,
    /// The most severe.
    pub primary: Option<String>,
}

impl FirstRun {
    pub(super) fn of(task: &Task, outcome: &Outcome) -> Self {
        let services = match outcome.log.len() > MOST_PASSED {
            true => Vec::new(),
            false => outcome
                .log
                .iter()
                .map(|visit| passed(task, visit))
                .collect(),
        };
        let batches = outcome
            .batches
            .iter()
            .take(MOST_PASSED)
            .map(|batch| Passed {
                step: task.steps[batch.stop].clone(),
                helper: None,
                began_min: batch.began_min,
                ended_min: batch.ended_min,
                left_min: batch.ended_min,
                amount: batch.amount,
            });
        Self {
            finish_min: outcome.finish_min,
            services,
            batches: batches.collect(),
            active: active(task, outcome),
            arrows: signs(task, outcome),
        }
    }
}

fn passed(task: &Task, visit: &crate::sim::Visit) -> Passed {
    let helper = visit.helper.map(|number| &task.network.helpers[number]);
    Passed {
        step: task.steps[visit.stop].clone(),
        helper: helper.map(|helper| helper.name.clone()),
        began_min: visit.began_min,
        ended_min: visit.ended_min,
        left_min: visit.left_min,
        amount: visit.amount,
    }
}

/// Whether a station can hold work up at all: unlimited servers never do.
fn is_limited(task: &Task, station: usize) -> bool {
    task.network.stations[station].works != Works::Servers(None)
}

/// The unbroken times at which each station worked; none where it is unlimited.
fn intervals(task: &Task, outcome: &Outcome) -> Vec<Vec<(f64, f64)>> {
    let mut all: Vec<Vec<(f64, f64)>> = vec![Vec::new(); task.network.stations.len()];
    for visit in &outcome.log {
        if !is_limited(task, task.network.stops[visit.stop].station) {
            continue;
        }
        let (began, ended) = (visit.began_min.max(0.0), visit.ended_min);
        let station = &mut all[task.network.stops[visit.stop].station];
        match station.last_mut() {
            Some(last) if began <= last.1 => last.1 = last.1.max(ended),
            _ => station.push((began, ended)),
        }
    }
    all
}

fn active(task: &Task, outcome: &Outcome) -> Active {
    let from = task.run.warm_up_min;
    let found = active_period(&intervals(task, outcome), from, from + outcome.measured_min);
    let name = |station: usize| task.network.stations[station].name.clone();
    let minutes = |station: &usize| found.sole[*station] + found.shifting[*station];
    let most = (0..found.sole.len())
        .max_by(|one, other| minutes(one).total_cmp(&minutes(other)))
        .filter(|station| minutes(station) > 0.0);
    let momentary = match found.momentary.len() > MOST_PASSED {
        true => Vec::new(),
        false => (found.momentary.iter())
            .map(|stretch| (stretch.from, stretch.to, stretch.station.map(name)))
            .collect(),
    };
    Active {
        sole: found.sole.clone(),
        shifting: found.shifting.clone(),
        none: found.none,
        momentary,
        most: most.map(name),
    }
}

/// The stations in the order that all work passes them, if there is one such order and room is
/// limited along it. Where any number may wait nothing is ever blocked, and all arrows would point
/// one way.
fn line(task: &Task) -> Option<Vec<usize>> {
    let stops = &task.network.stops;
    if stops.len() < 2 || stops.len() != task.network.stations.len() {
        return None;
    }
    let goes = |stop: usize| match stops[stop].then {
        Then::Go(next) => Some(Some(next)),
        Then::Leave => Some(None),
        Then::Chance(_) | Then::Share(_) | Then::Feed(_) => None,
    };
    let mut is_fed = vec![false; stops.len()];
    for stop in 0..stops.len() {
        if let Some(next) = goes(stop)? {
            is_fed[next] = true;
        }
    }
    let mut at = is_fed.iter().position(|fed| !fed);
    let mut order = Vec::new();
    while let Some(stop) = at {
        order.push(stops[stop].station);
        at = goes(stop)?;
        if order.len() > stops.len() {
            return None;
        }
    }
    let is_whole = order.len() == stops.len();
    order.retain(|station| is_limited(task, *station));
    let mut later = order.iter().skip(1);
    let has_limits = later.all(|station| task.network.stations[*station].room.is_some());
    (is_whole && has_limits && order.len() > 1).then_some(order)
}

fn signs(task: &Task, outcome: &Outcome) -> Option<ArrowSigns> {
    let order = line(task)?;
    let share = |station: &usize, of: fn(&crate::sim::StationTimes) -> f64| {
        let times = &outcome.stations[*station];
        let all = times.working + times.blocked + times.starved;
        if all > 0.0 { of(times) / all } else { 0.0 }
    };
    let blocked: Vec<f64> = order
        .iter()
        .map(|at| share(at, |times| times.blocked))
        .collect();
    let starved: Vec<f64> = order
        .iter()
        .map(|at| share(at, |times| times.starved))
        .collect();
    let found = arrows(&blocked, &starved);
    let name = |at: usize| task.network.stations[order[at]].name.clone();
    Some(ArrowSigns {
        line: (0..order.len()).map(name).collect(),
        signs: (found.downstream.iter())
            .map(|down| if *down { "->" } else { "<-" })
            .collect(),
        bottlenecks: (found.bottlenecks.iter())
            .map(|(at, severity)| (name(*at), *severity))
            .collect(),
        primary: found.primary.map(name),
    })
}
