//! A network as it is written in a file.

use serde::Deserialize;

use super::number::{LawForm, NumberForm};
use super::way::WayForm;
use super::written_people::HelperForm;
use super::written_places::StationForm;

/// The whole file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Written {
    /// [`super::FORMAT`].
    pub format: String,
    /// What it is, for readers.
    #[serde(default)]
    pub about: String,
    /// How it is run.
    #[serde(default)]
    pub run: RunForm,
    /// Places where work is done.
    #[serde(default)]
    pub stations: Vec<StationForm>,
    /// Classes of work; where there are none, those that the steps name.
    #[serde(default)]
    pub classes: Vec<ClassForm>,
    /// What is done at the stations.
    #[serde(default)]
    pub steps: Vec<StepForm>,
    /// The people.
    #[serde(default)]
    pub helpers: Vec<HelperForm>,
    /// Work that arrives.
    #[serde(default)]
    pub arrivals: Vec<ArrivalForm>,
    /// Work that is there at minute 0.
    #[serde(default)]
    pub start: StartForm,
    /// Things that several stations take.
    #[serde(default)]
    pub shared: Vec<SharedForm>,
    /// Stocks that work draws on.
    #[serde(default)]
    pub supplies: Vec<SupplyForm>,
    /// Minutes from leaving one seat to working at another.
    #[serde(default)]
    pub change_min: f64,
    /// Minutes without work after which people move by themselves.
    pub roams_after_min: Option<f64>,
    /// Instead of everything else: a line that helpers walk.
    pub brigade: Option<BrigadeForm>,
}

/// How long and how often.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunForm {
    /// Minutes of one run; left out: until all work is done.
    pub minutes: Option<f64>,
    /// Minutes at the beginning that are not measured.
    #[serde(default)]
    pub warm_up_min: f64,
    /// How many runs, unless the command line says otherwise.
    pub runs: Option<u32>,
    /// The seed, unless the command line says otherwise.
    pub seed: Option<u64>,
}

/// A class of work.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassForm {
    /// Its name.
    pub name: String,
    /// Lower is taken first.
    #[serde(default)]
    pub priority: u32,
}

/// What is done with one class of work at one station.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StepForm {
    /// The station.
    pub at: String,
    /// The class; left out where there is one.
    pub of: Option<String>,
    /// Minutes of one service.
    pub time: LawForm,
    /// How much one service takes.
    #[serde(default = "super::learned::one")]
    pub carrier: f64,
    /// The most one batch takes of it, where that is not the station's own.
    pub most: Option<f64>,
    /// What goes on for one unit that is taken.
    #[serde(default, rename = "yield")]
    pub gives: NumberForm,
    /// Where it goes.
    #[serde(default)]
    pub then: WayForm,
    /// Steps of one group may share a batch.
    pub group: Option<String>,
    /// Supplies drawn for each unit that goes on.
    #[serde(default)]
    pub draws: Vec<DrawsForm>,
}

/// So much of a supply.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrawsForm {
    /// Which.
    pub what: String,
    /// How much for one unit.
    pub amount: f64,
}

/// Work that arrives at a step: exactly one of the three ways.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArrivalForm {
    /// The step.
    pub at: String,
    /// Minutes between two.
    pub every: Option<LawForm>,
    /// No more than so many, with `every`.
    pub limit: Option<u64>,
    /// At these minutes.
    pub times: Option<Vec<f64>>,
    /// As much as is taken.
    #[serde(default)]
    pub unlimited: bool,
}

/// What is there at minute 0.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StartForm {
    /// What waits.
    #[serde(default)]
    pub waiting: Vec<WaitingForm>,
    /// What is under way.
    #[serde(default)]
    pub busy: Vec<BusyForm>,
}

/// Work that waits at minute 0.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaitingForm {
    /// The step.
    pub at: String,
    /// How much.
    pub amount: f64,
    /// Minutes it has waited already.
    #[serde(default)]
    pub waited_min: f64,
}

/// A service under way at minute 0.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BusyForm {
    /// The step.
    pub at: String,
    /// By whom, at a station of hands.
    pub helper: Option<String>,
    /// How much is in it.
    #[serde(default = "super::learned::one")]
    pub amount: f64,
    /// Minutes it has gone on.
    #[serde(default)]
    pub age_min: f64,
    /// Minutes left, where they are known.
    pub left_min: Option<f64>,
}

/// A shared thing.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SharedForm {
    /// Its name.
    pub name: String,
    /// How many there are.
    pub count: u32,
}

/// A stock.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SupplyForm {
    /// Its name.
    pub name: String,
    /// How much is there at minute 0.
    pub stock: f64,
}

/// A line of divisible work that helpers walk.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BrigadeForm {
    /// The helpers in the order of the line, its beginning first.
    pub helpers: Vec<WalkerForm>,
    /// How many items are finished in one run.
    pub items: u32,
}

/// A helper of a brigade.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WalkerForm {
    /// Their name.
    pub name: String,
    /// Items a minute they would do alone.
    pub rate: f64,
    /// How far along the line their item is at minute 0, from 0 to 1.
    #[serde(default)]
    pub starts_at: f64,
}
