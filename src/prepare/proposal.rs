//! What is proposed, each line with its reasons in numbers. Screens put the words to them.
//!
//! Amounts are thousandths of the unit in the field's name or comment; lists keep the order of the
//! ask.

use super::forecast::Foretold;
use super::options::NotOffered;
use super::own_days::OwnDays;
use super::programme::Limit;
use crate::day::amount::Amount;
use crate::day::plan::DayPlan;
use crate::trade::{Jar, Method, Pack};
use serde::Serialize;
use std::collections::BTreeMap;

/// What to make, what it takes and how the day would go.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proposal {
    /// By use and package, those with none among them.
    pub lines: Vec<Line>,
    /// By use.
    pub uses: BTreeMap<String, UseTold>,
    /// What cannot be offered, and why.
    pub not_offered: Vec<NotOffered>,
    /// By produce.
    pub produce: BTreeMap<String, ProduceTold>,
    /// By package.
    pub packages: BTreeMap<String, StockTold>,
    /// New lids.
    pub lids: LidsTold,
    /// What is added to the jars.
    pub added: Vec<Added>,
    /// Canner loads.
    pub loads: Vec<LoadsTold>,
    /// Minutes of the canners.
    pub canner: CannerTold,
    /// The freezer, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub freezer: Option<FreezerTold>,
    /// Whether it is known that no better proposal exists.
    pub proven: bool,
    /// The day that would be begun; absent when nothing is to be made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan: Option<DayPlan>,
    /// How that day would go.
    pub forecast: Foretold,
    /// What of the household's own days is in it.
    pub own_days: OwnDays,
}

/// A use in one package size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// Which use.
    #[serde(rename = "use")]
    pub use_id: String,
    /// Which package.
    pub package: String,
    /// How many, whole.
    pub packages: i64,
    /// Whether the lead settled the number.
    pub pinned: bool,
    /// Uses they serve.
    pub serves: i64,
    /// Packages opened at one time.
    pub opened: i64,
    /// Uses one opening serves.
    pub serves_each: i64,
    /// Quarts one use takes.
    pub portion: Amount,
    /// Quarts a package gives when it is opened.
    pub usable: Amount,
    /// Quarts of one opening that are not eaten.
    pub left_over: Amount,
    /// Packages beyond what is eaten until the next season.
    pub surplus: i64,
    /// Pounds of produce: low, typical, high.
    pub pounds: [Amount; 3],
    /// Where the pounds come from.
    pub pounds_source: String,
    /// For jars: the tested process.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub process: Option<ProcessTold>,
}

/// The tested process of a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProcessTold {
    /// The food as the process names it.
    pub food: String,
    /// The pack.
    pub pack: Pack,
    /// The jar.
    pub jar: Jar,
    /// The method.
    pub method: Method,
    /// Minutes at the kitchen's altitude.
    pub minutes: u32,
    /// What goes into each jar, in the words of the source.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acid: Option<String>,
    /// Publication and section.
    pub source: String,
}

/// A use, all its lines together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UseTold {
    /// Times until the next season.
    pub times: i64,
    /// Of them served by what still stands on the shelf.
    pub still_serves: i64,
    /// Served by what is to be made.
    pub serves: i64,
    /// Not served.
    pub missing: i64,
    /// What holds the missing ones back; empty when nothing is missing.
    pub held_by: Vec<Limit>,
    /// Whether more would spoil than be eaten in every package that is offered.
    pub spoils: bool,
    /// What comes of the fruit against the published yield, where the family or its own days say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub own_yield: Option<Amount>,
}

/// One produce.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProduceTold {
    /// Pounds there are.
    pub there: Amount,
    /// Pounds of what is proposed: low, typical, high.
    pub needed: [Amount; 3],
    /// Pounds for all that the household would eat, typical.
    pub for_all: Amount,
    /// Pounds that are missing for what is proposed; only what the lead settled can exceed it.
    pub short: Amount,
    /// Pounds left over, typical.
    pub left: Amount,
    /// Pounds of the container it is sold in, where published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub box_pounds: Option<Amount>,
}

/// Packages of one size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockTold {
    /// To be filled.
    pub needed: i64,
    /// In the house.
    pub have: i64,
    /// To be bought.
    pub buy: i64,
    /// More than may be bought.
    pub short: i64,
}

/// Lids.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LidsTold {
    /// One for each jar.
    pub for_jars: i64,
    /// A tenth more.
    pub spare: i64,
    /// In the house.
    pub have: i64,
    /// To be bought.
    pub buy: i64,
    /// More than may be bought.
    pub short: i64,
}

/// What is added to jars, altogether.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Added {
    /// Bottled lemon juice, in tablespoons; instead of it citric acid.
    LemonJuice {
        /// To which food.
        food: String,
        /// Tablespoons.
        tbsp: i64,
        /// In the words of the source, for each jar.
        each: String,
    },
    /// Acid that only the tested recipe states for the batch.
    AsTheRecipeSays {
        /// To which food.
        food: String,
        /// In the words of the source.
        each: String,
    },
    /// Light syrup to cover fruit in pieces; juice or water will do as well.
    Cover {
        /// Cups of water.
        water_cups: Amount,
        /// Cups of sugar.
        sugar_cups: Amount,
    },
}

/// Loads of one food and jar in one kind of canner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadsTold {
    /// The food.
    pub food: String,
    /// The pack.
    pub pack: Pack,
    /// The jar.
    pub jar: Jar,
    /// The canner, one of its kind.
    pub canner: String,
    /// Jars in a full load.
    pub holds: i64,
    /// Loads.
    pub loads: i64,
    /// Jars, all loads together.
    pub jars: i64,
    /// Minutes of the tested process.
    pub process_min: i64,
    /// Minutes from one load to the next.
    pub cycle_min: i64,
}

/// The canners' minutes.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CannerTold {
    /// What the loads take.
    pub needed_min: i64,
    /// What there is until the cut-off; absent without a start and a cut-off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub there_min: Option<i64>,
}

/// The freezer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FreezerTold {
    /// Pounds to be frozen.
    pub pounds: Amount,
    /// Pounds that freeze solid in a day.
    pub in_a_day: Amount,
    /// Pounds there is room for, where published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<Amount>,
}
