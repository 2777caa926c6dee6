//! The shape of a look back, as it is sent in JSON.
//!
//! Names are snake_case. Fields ending in `_ms` are durations in milliseconds, fields ending in
//! `_at` are moments in milliseconds since 1970. Amounts are thousandths of the measure beside
//! them; only [`Packages`] are whole units. What is absent is left out.

use super::flow::ProductFlow;
use super::fruit::FruitTold;
use super::hours::Hour;
use super::moves::MoveTold;
use super::tries::Try;
use crate::day::amount::{Amount, Measure};
use crate::day::command::{LoadJars, ShortFate};
use crate::day::ids::*;
use crate::day::time::Timestamp;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// Packages: exact inside, whole units in JSON (7 jars are `7`). Only what is sold by weight, such
/// as fresh fruit in pounds, can have a fraction.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, JsonSchema)]
pub struct Packages(#[schemars(with = "f64")] pub Amount);

impl Packages {
    /// As a number of packages.
    pub fn number(self) -> f64 {
        self.0.0 as f64 / 1000.0
    }
}

impl Serialize for Packages {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.is_whole() {
            return serializer.serialize_i64(self.0.0 / 1000);
        }
        serializer.serialize_f64(self.number())
    }
}

/// A whole day, looked back on.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct LookBack {
    /// What the family called the day.
    pub name: String,
    /// Its civil date.
    pub date: String,
    /// When the day was opened.
    pub opened_at: Timestamp,
    /// How long it was open: to its close or, while it goes on, to its last event.
    pub open_ms: i64,
    /// The first work: a box, a tally, a pot or a load. Absent if there was none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Timestamp>,
    /// The close of the day or its last event.
    pub to: Timestamp,
    /// The name of every product of the day, also of those that made no packages.
    pub products: BTreeMap<ProductId, String>,
    /// What was made, by product. Shared routes and fed stocks make no packages of their own.
    pub made: BTreeMap<ProductId, Made>,
    /// Finished and cooling packages of all products, by the hours from `from` to `to`.
    pub packages_per_hour: f64,
    /// The stations, those taken away during the day too.
    pub stations: BTreeMap<StationId, StationTold>,
    /// The people, by id and in no order of merit.
    pub helpers: BTreeMap<HelperId, HelperTold>,
    /// The loads that were heated or lifted.
    pub loads: BTreeMap<LoadId, LoadTold>,
    /// Every chore of the day.
    pub chores: BTreeMap<ChoreId, ChoreTold>,
    /// Work that went back, by product and way.
    pub rework: Vec<Rework>,
    /// What left its route or was lost, by station and product; only where there was some.
    pub waste: BTreeMap<StationId, BTreeMap<ProductId, Waste>>,
    /// Pounds of trimmings of all work.
    pub trimmings_lb: Amount,
    /// Packages hour by hour, from `from` to `to`.
    pub hours: Vec<Hour>,
    /// What came to each stage and left it, by product.
    pub flows: BTreeMap<ProductId, ProductFlow>,
    /// Pounds of fruit a quart took, against the published figures, where that can be told.
    pub fruit: BTreeMap<ProductId, FruitTold>,
    /// Proposed moves that were taken.
    pub moves: Vec<MoveTold>,
    /// What to try next time, most minutes first; at most three.
    pub tries: Vec<Try>,
}

/// What was made of one product. `made + brought_in + found` is always `finished + cooling +
/// standing + refrigerated + frozen + broken + fresh + diverted + scrapped + sent_back`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Made {
    /// What it is called.
    pub name: String,
    /// What a package is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub package: Option<Measure>,
    /// Packages wanted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wanted: Option<Packages>,
    /// Packages filled today.
    pub made: Packages,
    /// Packages that came in filled: carried over, diverted or sent back here.
    pub brought_in: Packages,
    /// Packages that counts found; less than nothing where some were missing.
    pub found: Packages,
    /// At the end of their route.
    pub finished: Packages,
    /// Processed jars on the cooling rack.
    pub cooling: Packages,
    /// Filled, and neither processed nor finished: waiting or in a canner.
    pub standing: Packages,
    /// To the refrigerator.
    pub refrigerated: Packages,
    /// To the freezer, off their route.
    pub frozen: Packages,
    /// Broken in a canner.
    pub broken: Packages,
    /// Eaten or given away.
    pub fresh: Packages,
    /// Gone to another product's route.
    pub diverted: Packages,
    /// Thrown away.
    pub scrapped: Packages,
    /// Sent back to an earlier station.
    pub sent_back: Packages,
    /// Jars of loads that were ended early, whatever became of them. They are counted above too.
    pub short: Packages,
}

/// One station.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct StationTold {
    /// What it is called.
    pub name: String,
    /// Work went on: at a hand station somebody sat and work waited, some pot cooked, some
    /// canner was on the heat, something stood at a hold.
    pub busy_ms: i64,
    /// It stood ready and nothing waited.
    pub starved_ms: i64,
    /// Work waited, somebody was there, and it could go nowhere: no room behind, a supply was out,
    /// or enough filled jars waited for the canners.
    pub blocked_ms: i64,
    /// Work waited and nobody saw to it: no seat taken, no pot or canner on the heat. A canner with
    /// the heat off and jars in it is among these.
    pub unstaffed_ms: i64,
    /// The same while those who had sat there rested.
    pub paused_ms: i64,
    /// It was put away, taken away or not there yet.
    pub put_away_ms: i64,
    /// The busy part of the time it stood ready, 0 to 1.
    pub busy_share: f64,
    /// How long its canners stood idle between loads, summed over them: each from lifting one load
    /// to heating the next.
    pub between_loads_ms: i64,
    /// The part of `starved_ms` between its first and its last work.
    pub starved_between_ms: i64,
    /// The part of `busy_ms` in which more waited and every pot or canner was in use.
    pub all_taken_ms: i64,
    /// Carriers that everybody there did together, over all products.
    pub done_carriers: Amount,
    /// What one carrier is called there, if all its products call it the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub carrier: Option<String>,
    /// The deepest queue, in carriers over its products.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub deepest: Option<Deepest>,
    /// What waited, by product: `[moment, amount]` from each moment to the next, to the end of the
    /// day. At most 400 points, see `depth_left_out`.
    pub depth: BTreeMap<ProductId, Vec<(Timestamp, Amount)>>,
    /// How many points of `depth` were left out to keep it short; the lowest and the highest of
    /// each stretch were kept. Only for products where some were.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub depth_left_out: BTreeMap<ProductId, usize>,
    /// Amount times milliseconds waited, by product, over all points: divided by an amount it is
    /// the mean wait.
    pub waited: BTreeMap<ProductId, i64>,
}

/// The deepest queue of a station.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Deepest {
    /// Of which product.
    pub product: ProductId,
    /// How much.
    pub amount: Amount,
    /// The same in carriers, in thousandths, rounded down.
    pub carriers: Amount,
    /// Since when.
    pub at: Timestamp,
}

/// One person. Nobody is compared: the board cannot know who had the hard fruit.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct HelperTold {
    /// What they are called.
    pub name: String,
    /// Time in any seat.
    pub seated_ms: i64,
    /// Of that, with nothing to do because nothing had come: never their doing.
    pub waited_ms: i64,
    /// Time resting.
    pub rested_ms: i64,
    /// Time in a seat, by station.
    pub stations: BTreeMap<StationId, i64>,
    /// Chores they finished.
    pub chores: usize,
    /// The same in a sentence.
    pub told: String,
}

/// One load.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadTold {
    /// At which station.
    pub station: StationId,
    /// In which canner there.
    pub canner: CannerId,
    /// Jars by product.
    pub jars: BTreeMap<ProductId, Packages>,
    /// Minutes of the tested process.
    pub minutes: u32,
    /// When it was built.
    pub built_at: Timestamp,
    /// When the heat went on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heated_at: Option<Timestamp>,
    /// From heat on to the first boil or pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_up_ms: Option<i64>,
    /// The start that counts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boil_at: Option<Timestamp>,
    /// From the start that counts to heat off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub process_ms: Option<i64>,
    /// Starts that counted for nothing, each with the moment the boil was lost.
    pub boils_lost: Vec<(Timestamp, Timestamp)>,
    /// When the heat went off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_off_at: Option<Timestamp>,
    /// When the jars came out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lifted_at: Option<Timestamp>,
    /// From lifting the load before to heating this one, in the same canner.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub canner_idle_before_ms: Option<i64>,
    /// Whether it was ended before its time.
    pub short: bool,
    /// What became of its jars then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fate: Option<ShortFate>,
    /// What broke.
    pub broken: Vec<LoadJars>,
}

/// One chore.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChoreTold {
    /// In words.
    pub text: String,
    /// When it was raised.
    pub raised_at: Timestamp,
    /// When it was done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finished_at: Option<Timestamp>,
    /// Who did it; absent when the flow settled it or nobody was named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub helper: Option<HelperId>,
}

/// Work of one product that went back one way.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Rework {
    /// Which product.
    pub product: ProductId,
    /// From which station.
    pub from: StationId,
    /// To which.
    pub to: StationId,
    /// How much in all, in the measure of the station it came from.
    pub amount: Amount,
    /// How often.
    pub times: usize,
    /// The reasons given, each once, the first twenty.
    pub reasons: Vec<String>,
}

/// What left one product's route at one station, and where it went; in the station's measure.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Waste {
    /// The measure; absent when the product passes there no more.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure: Option<Measure>,
    /// Thrown away.
    pub scraps: Amount,
    /// Eaten or given away.
    pub fresh: Amount,
    /// To the refrigerator, jars of short loads among it.
    pub refrigerator: Amount,
    /// To the freezer, jars of short loads among it.
    pub freezer: Amount,
    /// To another way.
    pub other_route: Amount,
    /// Broken in a canner.
    pub broken: Amount,
    /// What counts found missing.
    pub missing: Amount,
    /// What counts found more.
    pub found: Amount,
}
