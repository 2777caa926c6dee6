//! The shape of a trace, as it is sent in JSON.
//!
//! Names are snake_case. Packages are thousandths of a package; fields ending in `_at` are moments in
//! milliseconds since 1970. What is absent is left out.

use super::code::{BatchCode, LotCode};
use crate::day::amount::{Amount, Measure};
use crate::day::command::{NoteOn, ShortFate};
use crate::day::ids::*;
use crate::day::state::Phase;
use crate::day::time::Timestamp;
use crate::trade::{Jar, Method};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// All finished packages of a day.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Traced {
    /// What the family called the day.
    pub name: String,
    /// Its civil date.
    pub date: String,
    /// Whether it goes on.
    pub phase: Phase,
    /// When it was opened.
    pub opened_at: Timestamp,
    /// The lots by code.
    pub lots: BTreeMap<LotCode, PackageLot>,
}

/// Where packages are kept.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[schemars(rename = "ShelfPlace")]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    /// On the shelf, sealed.
    Pantry,
    /// To be eaten within days.
    Refrigerator,
    /// Frozen.
    Freezer,
}

impl Place {
    /// Every place.
    pub const ALL: [Place; 3] = [Place::Pantry, Place::Refrigerator, Place::Freezer];

    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Place::Pantry => "pantry",
            Place::Refrigerator => "refrigerator",
            Place::Freezer => "freezer",
        }
    }
}

/// What a package is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[schemars(rename = "LotPackage")]
pub struct Package {
    /// Jar, bag or tub.
    pub measure: Measure,
    /// The size of a jar for the canner.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jar: Option<Jar>,
    /// How much goes into a bag, tub or freezer jar, where the route says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holds: Option<Holds>,
}

/// How much one package holds.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[schemars(rename = "LotHolds")]
pub struct Holds {
    /// Thousandths of `measure`.
    pub amount: Amount,
    /// What it is counted in before it is packed.
    pub measure: Measure,
}

/// Packages of one product and lot of fruit that share their history.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PackageLot {
    /// The load or run it is of.
    pub batch: BatchCode,
    /// Which product.
    pub product: ProductId,
    /// What it is called.
    pub product_name: String,
    /// What a package is.
    pub package: Package,
    /// Which lot of fruit.
    pub lot: LotId,
    /// What that is called: the variety, the orchard.
    pub lot_name: String,
    /// Of which produce.
    pub produce: String,
    /// All packages there ever were of it.
    pub made: Amount,
    /// What went where it is kept, by place.
    pub places: BTreeMap<Place, Stood>,
    /// Jars on the rack whose seals are not checked yet: they get no label.
    pub waiting: Amount,
    /// Broken, or thrown away at the seal check.
    pub broken: Amount,
    /// Gone back to be processed again; they are in a later load.
    pub again: Amount,
    /// The canner load, for jars.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<LoadOrigin>,
    /// From the first to the last of them filled or bagged.
    pub filled_from: Timestamp,
    /// From the first to the last of them filled or bagged.
    pub filled_to: Timestamp,
    /// What was done at which station, in the order it began.
    pub work: Vec<WorkTold>,
    /// Who looked at the seals.
    pub checked_by: Vec<String>,
    /// What was written about the load, the lot of fruit or the product.
    pub notes: Vec<NoteTold>,
}

/// Packages that went to one place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Stood {
    /// How many.
    pub packages: Amount,
    /// When the last of them came there.
    pub at: Timestamp,
    /// How long they are good for.
    pub keeping: Keeping,
}

/// How long packages are at their best, as far as that is published.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Keeping {
    /// Months from the day they were packed; absent where only "several days" is published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    /// The civil date `YYYY-MM-DD` these months are over, counted from the date of the day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_by: Option<String>,
    /// Where that is published.
    pub source: &'static str,
}

/// A canner load, as far as a jar needs to know.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadOrigin {
    /// Its id on the day.
    pub id: LoadId,
    /// Its number on the day, by the order the loads were lifted, from 1.
    pub number: usize,
    /// In which canner.
    pub canner: String,
    /// By which method.
    pub method: Method,
    /// Minutes of the tested process.
    pub minutes: u32,
    /// Pounds per square inch; only under pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub psi: Option<u32>,
    /// The altitude the process is for, in feet.
    pub altitude_ft: i32,
    /// Where the process is published.
    pub source: String,
    /// The start that counts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boil_at: Option<Timestamp>,
    /// When the heat went off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_off_at: Option<Timestamp>,
    /// When the jars came out.
    pub lifted_at: Timestamp,
    /// How often the boil was lost and the time began anew.
    pub boils_lost: usize,
    /// Whether its time was not full: its jars are not for the pantry.
    pub short: bool,
    /// What became of them then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fate: Option<ShortFate>,
    /// From when its seals may be checked.
    pub seals_from: Timestamp,
}

/// Work on a lot at one station.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WorkTold {
    /// At which station.
    pub station: StationId,
    /// What that is called.
    pub name: String,
    /// The first of it.
    pub from: Timestamp,
    /// The last of it.
    pub to: Timestamp,
    /// Who did it, by name and in no order of merit; nobody where no one was named.
    pub people: Vec<String>,
}

/// A note.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NoteTold {
    /// When.
    pub at: Timestamp,
    /// About what.
    pub on: NoteOn,
    /// The words.
    pub text: String,
}
