//! The whole report, from the parts.

use super::bottleneck::{Name, doing, holds_up_now, sets_finish};
use super::bound::pace_against_best;
use super::boxes::last_boxes;
use super::choices::choices;
use super::depth::{depth_min, dry_in_min};
use super::forecast::{Forecast, a_tenth_faster, canner, forecast, quantile, sorted};
use super::model::{Habits, Model, at_stops, minutes_from};
use super::moves::moves;
use super::report::*;
use super::settings::Settings;
use super::through::Through;
use super::what_if::what_if;
use super::wins::wins;
use crate::day::ids::{HelperId, StationId};
use crate::day::plan::Ending;
use crate::day::state::{Phase, State};
use crate::day::time::Timestamp;
use crate::pace::{self, Pace, Span};
use std::collections::BTreeMap;

/// Shares of what a station did are of the last so many minutes.
const SHARES_OF_MIN: f64 = 30.0;
/// The finish as it was seen is kept this often, and this many times.
const EARLIER_EVERY_MIN: f64 = 5.0;
const EARLIER_KEPT: usize = 200;
/// Runs of the sensitivities, as a part of those of a comparison.
const FASTER_PART: u32 = 2;

/// What one outlook hands on to the next of the same day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Memory {
    /// What held the kitchen up.
    pub holds_up: Name,
    /// What set the finish.
    pub sets: Name,
    /// How the finish was seen, oldest first.
    pub earlier: Vec<Earlier>,
}

/// When a day ends, alone: for looking back, where nothing else is asked. Absent when nothing is
/// left to do or no end is in sight.
pub fn finish(state: &State, pace: &Pace, now: Timestamp, runs: u32, seed: u64) -> Option<Band> {
    let model = Model::of(state, pace, now, Habits::USUAL);
    if state.phase != Phase::Open || model.is_done() {
        return None;
    }
    let days = forecast(&model, runs, seed);
    days.ends().then(|| model.band(&days.sorted()))
}

/// The outlook of a day at `now`, and what to remember for the next one.
pub fn outlook(
    state: &State,
    pace: &Pace,
    now: Timestamp,
    memory: &Memory,
    settings: &Settings,
) -> (Outlook, Memory) {
    let model = Model::of(state, pace, now, Habits::USUAL);
    let depth = depth_min(&model, state);
    let mut memory = memory.clone();
    let mut told = Outlook {
        at: now,
        earlier: memory.earlier.clone(),
        ..Outlook::default()
    };
    if state.phase != Phase::Open || model.is_done() {
        told.stay = Some(Stay::Finished {});
        told.stations = stations(&model, state, pace, &depth, None);
        memory.holds_up = Name::default();
        memory.sets = Name::default();
        return (told, memory);
    }
    let days = forecast(&model, settings.runs, settings.seed);
    told.runs = days.runs;
    let finishes = days.sorted();
    if days.ends() {
        let band = model.band(&finishes);
        told.finish = Some(band);
        remember(&mut memory.earlier, now, band);
    }
    if days.runs > 0 {
        told.by_cut_off = model.cut_off_min.map(|minutes| share(days.by(minutes)));
    }
    let faster_runs = (settings.compare_runs / FASTER_PART).max(1);
    let faster = a_tenth_faster(&model, faster_runs, settings.seed, &days.chain);
    told.stations = stations(&model, state, pace, &depth, Some((&days, &faster)));
    told.products = products(&model, state, &days);
    told.canners = canners(&model, &days);
    told.helpers = helpers(&model, state, pace, &told.stations);
    (told.holds_up_now, memory.holds_up) = holds_up_now(&model, pace, now, &memory.holds_up);
    (told.sets_finish, memory.sets) = sets_finish(&model, &days, now, &memory.sets);
    told.what_if = what_if(&model, state, &days, settings);
    told.last_box = last_boxes(&model, state, settings);
    told.wins = wins(state, pace, &model, &told.last_box, now, settings);
    told.pace = pace_against_best(&model, quantile(&finishes, 0.5));
    let compared = Model::of(state, pace, now, Habits::COMPARED);
    let moves = moves(state, &compared, now, settings);
    (told.moves, told.stay) = (moves.moves, moves.stay);
    for (id, helper) in &mut told.helpers {
        helper.choices = choices(state, &model, &depth, now, id);
    }
    (told, memory)
}

/// Minutes and amounts are told to one decimal.
pub(super) fn tenths(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// Shares are told in hundredths.
pub(super) fn share(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}

fn remember(earlier: &mut Vec<Earlier>, at: Timestamp, band: Band) {
    let due = earlier
        .last()
        .is_none_or(|last| minutes_from(last.at, at) >= EARLIER_EVERY_MIN);
    if due {
        earlier.push(Earlier { at, band });
    }
    if earlier.len() > EARLIER_KEPT {
        earlier.remove(0);
    }
}

fn stations(
    model: &Model,
    state: &State,
    pace: &Pace,
    depth: &[f64],
    days: Option<(&Forecast, &[Option<f64>])>,
) -> BTreeMap<StationId, StationOutlook> {
    let dry = dry_in_min(model);
    let coming = coming(model);
    let one = |(number, id): (usize, &StationId)| {
        let spans = pace.spans().get(id).map_or(&[][..], Vec::as_slice);
        let ([working, starved, blocked], doing) = (
            shares(spans, model.at),
            now_doing(
                state.stations.get(id).is_some_and(|found| found.set_up),
                coming[number],
                doing(spans, model.at),
            ),
        );
        let gain = days.and_then(|(_, faster)| faster.get(number).copied().flatten());
        let told = StationOutlook {
            doing,
            depth_min: tenths(depth[number]),
            dry_in_min: dry[number].map(tenths),
            working,
            starved,
            blocked,
            sets_finish: days.map_or(0.0, |(days, _)| share(days.share_set_by(number))),
            tenth_faster_min: gain.map(tenths),
            queue: pace.queue().get(id).cloned().unwrap_or_default(),
        };
        (id.clone(), told)
    };
    model.stations.iter().enumerate().map(one).collect()
}

/// By station: whether anything waits, is under way or will come.
fn coming(model: &Model) -> Vec<bool> {
    let at = Through::of(&model.network, &at_stops(model)).at;
    let mut coming = vec![false; model.network.stations.len()];
    for (stop, amount) in model.network.stops.iter().zip(at) {
        coming[stop.station] |= amount > 1e-6;
    }
    coming
}

fn now_doing(set_up: bool, coming: bool, last: Option<pace::Doing>) -> Doing {
    match last {
        _ if !set_up => Doing::PutAway,
        Some(pace::Doing::Working) => Doing::Working,
        Some(pace::Doing::Blocked) => Doing::Blocked,
        _ if !coming => Doing::Finished,
        Some(pace::Doing::Unstaffed) => Doing::Unstaffed,
        Some(pace::Doing::Starved | pace::Doing::Away) | None => Doing::Starved,
    }
}

/// Working, starved and blocked, as shares of the last half hour.
fn shares(spans: &[Span], now: Timestamp) -> [f64; 3] {
    let mut minutes = [0.0; 3];
    for span in spans.iter().rev() {
        let until = minutes_from(span.to, now).max(0.0);
        if until >= SHARES_OF_MIN {
            break;
        }
        let since = minutes_from(span.from, now).min(SHARES_OF_MIN);
        let lasted = (since - until).max(0.0);
        match span.doing {
            pace::Doing::Working => minutes[0] += lasted,
            pace::Doing::Starved => minutes[1] += lasted,
            pace::Doing::Blocked => minutes[2] += lasted,
            pace::Doing::Unstaffed | pace::Doing::Away => {}
        }
    }
    minutes.map(|lasted| share((lasted / SHARES_OF_MIN).min(1.0)))
}

/// Products that end in packages and have work left.
fn products(
    model: &Model,
    state: &State,
    days: &Forecast,
) -> BTreeMap<crate::day::ids::ProductId, ProductOutlook> {
    let mut found = BTreeMap::new();
    for (class, id) in model.products.iter().enumerate() {
        let plan = state.products.get(id).map(|product| &product.plan);
        let packs = plan.is_some_and(|plan| match plan.ends_in {
            Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. } => true,
            Ending::Stocked { .. } | Ending::Shared {} => false,
        });
        let finishes = sorted(days.class_finishes[class].clone());
        let has_work = finishes.last().is_some_and(|last| *last > 0.0);
        if !packs || !has_work {
            continue;
        }
        let made = sorted(days.class_made[class].clone());
        let before = model.made_before[class];
        let told = ProductOutlook {
            finish: model.band(&finishes),
            made_p10: tenths(before + quantile(&made, 0.1)),
            made_p50: tenths(before + quantile(&made, 0.5)),
            made_p90: tenths(before + quantile(&made, 0.9)),
        };
        found.insert(id.clone(), told);
    }
    found
}

fn canners(model: &Model, days: &Forecast) -> BTreeMap<StationId, CannerOutlook> {
    let stops = model.network.stops.iter().zip(&model.process_min);
    let with_process = stops.filter(|(_, process)| process.is_some());
    let told = with_process.map(|(stop, _)| {
        let id = model.stations[stop.station].clone();
        (id, canner(days, model, stop.station))
    });
    told.collect()
}

fn helpers(
    model: &Model,
    state: &State,
    pace: &Pace,
    stations: &BTreeMap<StationId, StationOutlook>,
) -> BTreeMap<HelperId, HelperOutlook> {
    let one = |id: &HelperId| {
        let seat = state
            .helpers
            .get(id)
            .and_then(|found| found.station.as_ref());
        let told = HelperOutlook {
            dry_in_min: seat.and_then(|seat| dry_soon(stations.get(seat)?)),
            choices: Vec::new(),
            rates: rates(model, state, pace, id),
        };
        (id.clone(), told)
    };
    model.helpers.iter().map(one).collect()
}

/// Minutes until nothing waits, if that is within the hour.
fn dry_soon(station: &StationOutlook) -> Option<f64> {
    match (station.doing, station.dry_in_min) {
        (Doing::Starved | Doing::Finished, _) => Some(0.0),
        (_, Some(minutes)) if minutes <= 60.0 => Some(minutes),
        _ => None,
    }
}

/// What was seen of a helper, by station. Of several products, the one with the most waiting
/// stands for the station.
fn rates(
    model: &Model,
    state: &State,
    pace: &Pace,
    helper: &HelperId,
) -> BTreeMap<StationId, RateOutlook> {
    let mut found: BTreeMap<StationId, (f64, RateOutlook)> = BTreeMap::new();
    for (number, place) in model.stops.iter().enumerate() {
        let seen = pace.seen(helper, &place.station);
        if seen.carriers <= 0.0 || model.stop(&place.station, &place.product) != Some(number) {
            continue;
        }
        let waits = model.open_at(number);
        if found
            .get(&place.station)
            .is_some_and(|(most, _)| *most >= waits)
        {
            continue;
        }
        let law = pace.rate(state, helper, &place.station, &place.product);
        let told = RateOutlook {
            per_hour: tenths(law.quantile(0.5) * 60.0),
            low: tenths(law.quantile(0.1) * 60.0),
            high: tenths(law.quantile(0.9) * 60.0),
            seen: tenths(seen.carriers),
        };
        found.insert(place.station.clone(), (waits, told));
    }
    found
        .into_iter()
        .map(|(id, (_, told))| (id, told))
        .collect()
}
