//! Networks in files: what `putby simulate` reads.
//!
//! A file is one JSON object. Stations, classes, helpers and shared things have names; everything
//! else refers to those names. Unknown fields are refused, so that a misspelt one never goes
//! unnoticed. Times are minutes, rates are per minute or factors, amounts are in carriers or
//! whatever the file counts in.
//!
//! | field | meaning |
//! |---|---|
//! | `format` | `"putby-network/1"`, always |
//! | `about` | a sentence for readers |
//! | `run` | `minutes` (left out: until all work is done), `warm_up_min` (not measured), `runs`, `seed` |
//! | `stations` | `name`; `works`: `{"servers": n}`, `"unlimited"`, `{"hands": seats}` or `{"batches": {"places", "least", "most", "first": [{"amount", "of"}], "patience_min"}}`; `room` in front (left out: any); `when_full`: `"block"` (after service) or `"lose"`; `takes`: `[{"what", "count"}]`; `slowness` |
//! | `classes` | `name`, `priority` (lower is taken first); may be left out |
//! | `steps` | `at` a station, `of` a class; `time` (a law); `carrier`; `most` in a batch; `yield`; `then`: `"out"`, a step, `{"chances": [{"chance", "to"}]}`, `{"shares": [{"weight", "to"}]}` or `{"feeds": supply}`; `group`; `draws`: `[{"what", "amount"}]` |
//! | `helpers` | `name`; `seat`; `does`: `[{"step", "rate"}]`; `speed`; `away`; `rests`; `prefers`; `turns`; `ready_min` |
//! | `arrivals` | `at` a step and one of `every` (a law, with `limit`), `times`, `"unlimited": true` |
//! | `start` | `waiting`: `[{"at", "amount", "waited_min"}]`; `busy`: `[{"at", "helper", "amount", "age_min" or "left_min"}]` |
//! | `shared`, `supplies` | `name` with `count` or `stock` |
//! | `change_min`, `roams_after_min` | minutes of a move; minutes without work after which people move |
//! | `brigade` | instead of all that: `helpers` (`name`, `rate`, `starts_at`) and `items` |
//!
//! A step is named by its station, or as "pears at slice" where the station has several. A law is a
//! number or one of `{"deterministic": x}`, `{"exponential": mean}`, `{"gamma": {"mean", "shape"}}`,
//! `{"lognormal": {"mean", "cv"}}`, `{"empirical": [..]}`, `{"sequence": [..]}`, `{"sum": [..]}`.
//! An uncertain number (`rate`, `speed`, `yield`, `slowness`) is a number or one of
//! `{"gamma": [shape, rate]}`, `{"lognormal": {"median", "sigma"}}`; a rate may be
//! `{"learned": {"prior": [shape, rate], "durations", "unfinished", "shape", "keep"}}` and a speed
//! `{"learned_speed": {"prior_services", "seen": [{"base_rate", "done", "active_min"}]}}`. It is
//! drawn once a run.

mod begin;
mod compile;
mod learned;
mod names;
mod number;
mod people;
mod places;
mod sense;
mod way;
mod written;
mod written_people;
mod written_places;

use std::fmt;

pub use learned::{LearnedRate, LearnedSpeed, SeenAt};
pub use number::{LawForm, NumberForm};
pub use way::{ChanceForm, ShareForm, WayForm};
pub use written::*;
pub use written_people::*;
pub use written_places::*;

use super::brigade::{Brigade, Walker};
use super::{Network, Start};

/// The name and version that every file begins with.
pub const FORMAT: &str = "putby-network/1";

/// Why a file is not simulated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// What is wrong.
    pub detail: String,
    /// What to do instead.
    pub instead: String,
}

impl Misread {
    pub(crate) fn new(detail: impl Into<String>, instead: impl Into<String>) -> Self {
        Self {
            detail: detail.into(),
            instead: instead.into(),
        }
    }
}

impl fmt::Display for Misread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {}", self.detail, self.instead)
    }
}

impl std::error::Error for Misread {}

/// What a file asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// To simulate a network.
    Network(Box<Task>),
    /// To walk a bucket brigade.
    Brigade(Brigade),
}

/// A network, where it begins, how it is run, and what its numbers are called.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// What it is, for readers.
    pub about: String,
    /// The network.
    pub network: Network,
    /// Where it begins.
    pub start: Start,
    /// The name of each stop.
    pub steps: Vec<String>,
    /// The name of each class.
    pub classes: Vec<String>,
    /// How it is run.
    pub run: RunForm,
    /// The rates that were learned, in the order of the file.
    pub learned: Vec<Learned>,
}

/// A rate that was learned from evidence.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// Whose and where ("Osk at slice", "Osk everywhere").
    pub name: String,
    /// Shape of its Gamma posterior.
    pub shape: f64,
    /// Rate of its Gamma posterior.
    pub rate: f64,
}

/// Reads a file and puts numbers for names.
///
/// # Errors
/// A sentence that says what is wrong and what to do, when the text is not JSON, not of this
/// format, or does not make sense.
pub fn read(text: &str) -> Result<Asked, Misread> {
    let value: serde_json::Value = serde_json::from_str(text).map_err(|error| {
        Misread::new(
            format!("This is not JSON: {error}."),
            "Put that place right.",
        )
    })?;
    let begin = format!("Begin it with \"format\": \"{FORMAT}\".");
    match value.get("format").map(serde_json::Value::as_str) {
        Some(Some(FORMAT)) => {}
        Some(Some(other)) => {
            return Err(Misread::new(
                format!("The format \"{other}\" is not known here."),
                begin,
            ));
        }
        _ => {
            let detail = "The file does not say which format it is in.";
            return Err(Misread::new(detail, begin));
        }
    }
    let written: Written = serde_json::from_str(text).map_err(|error| {
        Misread::new(
            format!("This is not a network: {error}."),
            "Put that place right; the fields are listed in the README under `putby simulate`.",
        )
    })?;
    compile(&written)
}

/// Puts numbers for the names of a network that was read or built.
///
/// # Errors
/// As [`read`].
pub fn compile(written: &Written) -> Result<Asked, Misread> {
    match &written.brigade {
        Some(brigade) => {
            if !written.stations.is_empty() || !written.steps.is_empty() {
                return Err(Misread::new(
                    "A brigade has no stations.",
                    "Leave out the brigade, or everything else.",
                ));
            }
            brigade_of(brigade).map(Asked::Brigade)
        }
        None => compile::task(written).map(Box::new).map(Asked::Network),
    }
}

fn brigade_of(form: &BrigadeForm) -> Result<Brigade, Misread> {
    let mut walkers = Vec::new();
    let mut behind = 0.0;
    for walker in &form.helpers {
        if !(walker.rate.is_finite() && walker.rate > 0.0) {
            return Err(Misread::new(
                format!("{} has the rate {}.", walker.name, walker.rate),
                "Give a rate above 0.",
            ));
        }
        if !(behind..=1.0).contains(&walker.starts_at) {
            return Err(Misread::new(
                format!("{} starts at {}.", walker.name, walker.starts_at),
                "Give places from 0 to 1, each no lower than the one before.",
            ));
        }
        behind = walker.starts_at;
        walkers.push(Walker {
            name: walker.name.clone(),
            rate: walker.rate,
            starts_at: walker.starts_at,
        });
    }
    if walkers.is_empty() || form.items == 0 {
        return Err(Misread::new(
            "This brigade does nothing.",
            "Give it at least one helper and one item.",
        ));
    }
    Ok(Brigade {
        walkers,
        items: form.items,
    })
}
