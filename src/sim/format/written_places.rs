//! Stations as they are written in a file.

use serde::Deserialize;

use super::number::NumberForm;

/// A place where work is done.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StationForm {
    /// Its name.
    pub name: String,
    /// How it works.
    pub works: WorksForm,
    /// Carriers that may wait in front of it; left out: any number.
    pub room: Option<u32>,
    /// What happens to a carrier that finds no place.
    #[serde(default)]
    pub when_full: WhenFullForm,
    /// Shared things that it takes while it works.
    #[serde(default)]
    pub takes: Vec<TakesForm>,
    /// A factor on every time here.
    #[serde(default)]
    pub slowness: NumberForm,
}

/// How a station works.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WorksForm {
    /// So many places that need nobody.
    Servers(u32),
    /// Any number of places that need nobody.
    Unlimited,
    /// Seats for so many helpers.
    Hands(u32),
    /// Places that take a batch each.
    Batches(BatchesForm),
}

/// Bulk service.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BatchesForm {
    /// How many places.
    #[serde(default = "one_place")]
    pub places: u32,
    /// The least that is started while more can come.
    pub least: f64,
    /// The most that one batch takes.
    pub most: f64,
    /// Planned sizes of the first batches, in order.
    #[serde(default)]
    pub first: Vec<FirstForm>,
    /// Minutes after which less than the least is started.
    pub patience_min: Option<f64>,
}

/// A planned batch.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FirstForm {
    /// How much.
    pub amount: f64,
    /// Of which class; left out where the station has one step.
    pub of: Option<String>,
}

/// What happens to a carrier that finds no place.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WhenFullForm {
    /// It stays where it is and blocks its server.
    #[default]
    Block,
    /// It is lost.
    Lose,
}

/// So many of a shared thing.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakesForm {
    /// Which.
    pub what: String,
    /// How many.
    pub count: u32,
}

fn one_place() -> u32 {
    1
}
