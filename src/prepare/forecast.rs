//! How the day of a proposal would go with those who are expected: when it ends, when to begin, where
//! work piles up, and whether another canner, pot or pair of hands would help.
//!
//! The day is opened in thought by the same rules as any other and simulated by the same forecast.
//! Everything that is compared is simulated with common random numbers, so a difference is the
//! change's and not chance's. Rates are those expected by kind of work and age until a family's own
//! days have taught better.

use super::ask::{Ask, CannerThere, PotThere};
use super::proposal::Line;
use super::settings::Settings;
use super::{day_plan, options};
use crate::day::command::{Command, Moment, Role};
use crate::day::ids::{CannerId, HelperId, PotId, StationId};
use crate::day::plan::{DayPlan, Helper, Nature};
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::day::{Record, State, execute};
use crate::outlook::forecast::{Forecast, forecast, mean_gain, quantile};
use crate::outlook::{Habits, Model};
use crate::pace::{Learned, Pace};
use serde::Serialize;
use std::collections::BTreeSet;

/// How sure the latest start is: nine days in ten end by the cut-off.
const SURE: f64 = 0.9;
/// Starts that are told lie so far apart, and there are so many.
const START_STEP_MIN: i64 = 30;
const STARTS: i64 = 8;
/// Stations told, those that set the finish most often first.
const STATIONS_TOLD: usize = 4;

/// How the day would go.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Foretold {
    /// Nothing is to be made, or no forecast was asked for.
    None {},
    /// Something must be said first.
    Missing {
        /// The field of the ask.
        field: String,
        /// What is missing, in a sentence.
        detail: String,
        /// What to do, in a sentence.
        instead: String,
    },
    /// It was simulated.
    Day(Box<Ahead>),
}

/// A day that was simulated many times.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ahead {
    /// How many times.
    pub runs: u32,
    /// The share of days that come to an end at all.
    pub ends: f64,
    /// Minutes from the start to the end: one day in ten is shorter.
    pub minutes_p10: f64,
    /// The middle.
    pub minutes_p50: f64,
    /// One in ten is longer.
    pub minutes_p90: f64,
    /// The share of days that end by the cut-off; absent without a start and a cut-off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_cut_off: Option<f64>,
    /// The latest start with which nine days in ten end by the cut-off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub latest_start: Option<Timestamp>,
    /// Other starts, the same simulated days for each.
    pub starts: Vec<Start>,
    /// The stations that most often set the end.
    pub stations: Vec<StationTold>,
    /// What one thing more would change.
    pub one_more: Vec<OneMore>,
}

/// A start and its chance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Start {
    /// When.
    pub at: Timestamp,
    /// The share of days that end by the cut-off.
    pub by_cut_off: f64,
}

/// A station over the day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StationTold {
    /// Which.
    pub station: StationId,
    /// What it is called.
    pub name: String,
    /// The share of days whose end it sets.
    pub sets_finish: f64,
    /// Carriers there, waiting or in hand, on average until the end.
    pub stands: f64,
    /// The share of the time in which work waited and nobody was there.
    pub unstaffed: f64,
}

/// What could be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Addition {
    /// A canner like the largest.
    Canner,
    /// A pot like the largest.
    Pot,
    /// An adult.
    Helper,
    /// A burner.
    Burner,
}

/// One thing more.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct OneMore {
    /// What.
    pub what: Addition,
    /// Minutes the day ends earlier, on average; below 0: later.
    pub gain_min: f64,
    /// The share of days that end earlier.
    pub earlier: f64,
}

impl Foretold {
    /// Nothing to foretell.
    pub const fn nothing() -> Foretold {
        Foretold::None {}
    }

    fn missing(field: &str, detail: &str, instead: &str) -> Foretold {
        Foretold::Missing {
            field: field.to_owned(),
            detail: detail.to_owned(),
            instead: instead.to_owned(),
        }
    }
}

/// What is to be done, and what is known of those who do it.
#[derive(Debug, Clone, Copy)]
pub struct Work<'a> {
    /// The choices.
    pub choices: &'a [options::Choice],
    /// What is made of each.
    pub lines: &'a [Line],
    /// What earlier days taught.
    pub learned: &'a Learned,
}

/// Simulates the day of a plan.
pub fn foretell(ask: &Ask, plan: &DayPlan, work: &Work<'_>, settings: &Settings) -> Foretold {
    if settings.runs == 0 {
        return Foretold::nothing();
    }
    if let Some(missing) = missing(ask, plan) {
        return missing;
    }
    let model = match model(ask, plan, work.learned) {
        Ok(model) => model,
        Err(why) => return Foretold::missing("helpers", &why.0, &why.1),
    };
    let told = forecast(&model, settings.runs, settings.seed);
    let sorted = told.sorted();
    let runs = f64::from(told.runs.max(1));
    let whole = |minutes: f64| minutes.round();
    let more = one_more(ask, work, &told, settings);
    Foretold::Day(Box::new(Ahead {
        runs: told.runs,
        ends: share(1.0 - f64::from(told.unfinished) / runs),
        minutes_p10: whole(quantile(&sorted, 0.1)),
        minutes_p50: whole(quantile(&sorted, 0.5)),
        minutes_p90: whole(quantile(&sorted, 0.9)),
        by_cut_off: ask
            .start_at
            .zip(ask.cut_off_at)
            .map(|(start, cut)| share(told.by(minutes(start, cut)))),
        latest_start: latest_start(ask, &told),
        starts: starts(ask, &told),
        stations: stations(&model, plan, &told),
        one_more: more,
    }))
}

/// What the day cannot be simulated without.
fn missing(ask: &Ask, plan: &DayPlan) -> Option<Foretold> {
    if !ask.helpers.values().any(|helper| helper.here) {
        return Some(Foretold::missing(
            "helpers",
            "Nobody is expected, so nobody can say when the day ends.",
            "Name who comes, with their ages.",
        ));
    }
    let pots = |place: &crate::day::plan::Station| matches!(&place.nature, Nature::Vessel { pots, .. } if pots.is_empty());
    if plan.stations.values().any(pots) {
        return Some(Foretold::missing(
            "kitchen.pots",
            "Fruit is to be cooked and no pot is named.",
            "Name the pots and how many quarts each takes.",
        ));
    }
    let burner =
        |place: &crate::day::plan::Station| place.occupies.keys().any(|id| id.as_str() == "burner");
    if ask.kitchen.burners == 0 && plan.stations.values().any(burner) {
        return Some(Foretold::missing(
            "kitchen.burners",
            "Something must be heated and no burner is named.",
            "Say how many burners the stove has.",
        ));
    }
    None
}

/// The plan, opened by the rules and made ready to be simulated.
///
/// # Errors
/// The detail and the way out, when the rules refuse the plan.
fn model(ask: &Ask, plan: &DayPlan, learned: &Learned) -> Result<Model, (String, String)> {
    let now = ask.start_at.unwrap_or(Timestamp(MINUTE_MS));
    let moment = Moment {
        now,
        command: uuid::Uuid::nil(),
        role: Role::Lead,
    };
    let mut state = State::default();
    let order = Command::OpenDay {
        plan: Box::new(plan.clone()),
    };
    let events = execute(&mut state, &order, &moment)
        .map_err(|refusal| (refusal.detail.clone(), refusal.instead.clone()))?;
    let records: Vec<Record> = (1..)
        .zip(events)
        .map(|(seq, event)| Record {
            seq,
            at: now,
            command: moment.command,
            role: moment.role,
            event,
        })
        .collect();
    let pace = Pace::of(&records, learned, now);
    Ok(Model::of(&state, &pace, now, Habits::USUAL))
}

fn latest_start(ask: &Ask, told: &Forecast) -> Option<Timestamp> {
    let cut = ask.cut_off_at?;
    let needed = quantile(&told.sorted(), SURE);
    let ended = told.by(needed) >= SURE && told.ends();
    let ms = (needed * MINUTE_MS as f64).ceil();
    ended.then(|| Timestamp(cut.0 - ms as i64))
}

/// Half-hours around the latest start, or before the cut-off if there is none.
fn starts(ask: &Ask, told: &Forecast) -> Vec<Start> {
    let Some(cut) = ask.cut_off_at else {
        return Vec::new();
    };
    let middle = latest_start(ask, told).or(ask.start_at);
    let Some(middle) = middle else {
        return Vec::new();
    };
    let step = START_STEP_MIN * MINUTE_MS;
    let first = middle.0.div_euclid(step) - STARTS / 2;
    (first..first + STARTS)
        .map(|number| Timestamp(number * step))
        .filter(|at| *at < cut)
        .map(|at| Start {
            at,
            by_cut_off: share(told.by(minutes(at, cut))),
        })
        .collect()
}

fn stations(model: &Model, plan: &DayPlan, told: &Forecast) -> Vec<StationTold> {
    let until = told.finishes.iter().sum::<f64>() / f64::from(told.runs.max(1));
    let mut found: Vec<StationTold> = model
        .stations
        .iter()
        .enumerate()
        .map(|(number, id)| {
            let times = &told.times[number];
            let there = times.working + times.starved + times.blocked + times.unstaffed;
            StationTold {
                station: id.clone(),
                name: plan
                    .stations
                    .get(id)
                    .map_or_else(String::new, |place| place.name.clone()),
                sets_finish: share(told.share_set_by(number)),
                stands: (times.area / until.max(1.0) * 10.0).round() / 10.0,
                unstaffed: share(times.unstaffed / there.max(1e-6)),
            }
        })
        .collect();
    found.sort_by(|one, other| {
        let key = |told: &StationTold| (told.sets_finish, told.stands);
        key(other)
            .partial_cmp(&key(one))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    found.retain(|told| told.sets_finish > 0.0 || told.stands >= 1.0);
    found.truncate(STATIONS_TOLD);
    found
}

/// The same days with one thing more, where there is one like it.
fn one_more(ask: &Ask, work: &Work<'_>, told: &Forecast, settings: &Settings) -> Vec<OneMore> {
    let changed = [
        (Addition::Canner, with_canner(ask)),
        (Addition::Pot, with_pot(ask)),
        (Addition::Burner, with_burner(ask)),
        (Addition::Helper, with_helper(ask)),
    ];
    let mut found = Vec::new();
    for (what, changed) in changed {
        let Some(changed) = changed else {
            continue;
        };
        let plan = day_plan::plan(&changed, work.choices, work.lines);
        let Some(model) = plan.and_then(|plan| model(&changed, &plan, work.learned).ok()) else {
            continue;
        };
        if !told.ends() && what != Addition::Helper {
            continue;
        }
        let after = forecast(&model, settings.runs, settings.seed);
        let pairs = told.finishes.iter().zip(&after.finishes);
        let earlier = pairs.filter(|(before, after)| **after < **before - 1e-6);
        found.push(OneMore {
            what,
            gain_min: mean_gain(&told.finishes, &after.finishes).round(),
            earlier: share(earlier.count() as f64 / f64::from(told.runs.max(1))),
        });
    }
    found
}

fn with_canner(ask: &Ask) -> Option<Ask> {
    let largest = ask
        .kitchen
        .canners
        .values()
        .max_by_key(|canner| canner.holds.values().sum::<u32>())?;
    let more = CannerThere {
        name: "One more canner".to_owned(),
        ..largest.clone()
    };
    let mut changed = ask.clone();
    let id = CannerId::try_from("one-more").ok()?;
    changed.kitchen.canners.insert(id, more);
    Some(changed)
}

fn with_pot(ask: &Ask) -> Option<Ask> {
    let largest = ask.kitchen.pots.values().max_by_key(|pot| pot.quarts)?;
    let more = PotThere {
        name: "One more pot".to_owned(),
        quarts: largest.quarts,
    };
    let mut changed = ask.clone();
    let id = PotId::try_from("one-more").ok()?;
    changed.kitchen.pots.insert(id, more);
    Some(changed)
}

fn with_burner(ask: &Ask) -> Option<Ask> {
    let mut changed = ask.clone();
    changed.kitchen.burners += 1;
    Some(changed)
}

fn with_helper(ask: &Ask) -> Option<Ask> {
    let mut changed = ask.clone();
    let more = Helper {
        name: "One more".to_owned(),
        sign: String::new(),
        age: 35,
        limits: BTreeSet::new(),
        likes: BTreeSet::new(),
        here: true,
    };
    // Last in the order of ids, so that the draws of the others stay theirs.
    changed
        .helpers
        .insert(HelperId::try_from("zz-one-more").ok()?, more);
    Some(changed)
}

fn minutes(from: Timestamp, to: Timestamp) -> f64 {
    to.ms_since(from) as f64 / MINUTE_MS as f64
}

/// Shares are told in hundredths.
fn share(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}
