//! What the family says before it is decided what to make.
//!
//! Maps by id like the rest of the program; amounts in thousandths of the unit beside them.

use crate::day::amount::Amount;
use crate::day::ids::{CannerId, HelperId, LotId, PotId};
use crate::day::plan::Helper;
use crate::day::time::Timestamp;
use crate::trade::{Jar, Method, Pack};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Everything that is asked for a proposal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ask {
    /// What the day is to be called.
    #[serde(default = "usual_name")]
    pub name: String,
    /// The civil date, `YYYY-MM-DD`.
    #[serde(default = "usual_date")]
    pub date: String,
    /// Height of the kitchen in feet; without it nothing is proposed for the shelf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub altitude_ft: Option<i32>,
    /// When work begins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_at: Option<Timestamp>,
    /// When work must be over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_off_at: Option<Timestamp>,
    /// The produce, by lot.
    #[serde(default)]
    pub there_is: BTreeMap<LotId, ThereIs>,
    /// What will be eaten of it, by an id of the family's own.
    #[serde(default)]
    pub uses: BTreeMap<String, Use>,
    /// Jars, bags and tubs, by an id of the family's own.
    #[serde(default)]
    pub packages: BTreeMap<String, Package>,
    /// New lids.
    #[serde(default)]
    pub lids: Stock,
    /// What there is to cook and to process with.
    #[serde(default)]
    pub kitchen: Kitchen,
    /// The freezer; without it nothing is proposed for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub freezer: Option<Freezer>,
    /// Who comes.
    #[serde(default)]
    pub helpers: BTreeMap<HelperId, Helper>,
}

fn usual_name() -> String {
    "Preserving day".to_owned()
}

fn usual_date() -> String {
    "2026-09-12".to_owned()
}

/// How produce is counted when it is bought or picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BoughtBy {
    /// The container the trade sells it in: a bushel, a lug, a crate.
    Box,
    /// US bushel; only for produce that is sold by it.
    Bushel,
    /// Avoirdupois pound.
    Lb,
    /// Kilogram.
    Kg,
}

/// Produce that is there, or will be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThereIs {
    /// Which: "pears".
    pub produce: String,
    /// Variety or orchard.
    #[serde(default)]
    pub variety: String,
    /// How much.
    pub amount: Amount,
    /// Counted in what.
    pub unit: BoughtBy,
}

/// The unit of what one use takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Portion {
    /// US cup, a quarter of a quart.
    Cup,
    /// US pint, half a quart.
    Pint,
    /// US liquid quart.
    Quart,
    /// Millilitre.
    Ml,
    /// Gram; a gram of prepared fruit is taken as a millilitre (common practice).
    G,
}

/// How often.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Per {
    /// Every week.
    Week,
    /// Every month, a twelfth of 52 weeks.
    Month,
}

/// Where packages are to be kept.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Keep {
    /// In jars on the shelf, by a tested process only.
    Shelf,
    /// In the freezer.
    Freezer,
    /// Either.
    #[default]
    Either,
}

/// Something the household eats: a dish, a spread, a bowl of fruit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Use {
    /// What it is called: "Peach cobbler".
    pub name: String,
    /// Of which produce.
    pub produce: String,
    /// What is put by for it, as the tested process names it; empty: the produce itself.
    #[serde(default)]
    pub food: String,
    /// Hot or raw pack; absent: hot where there is a tested one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pack: Option<Pack>,
    /// Shelf or freezer.
    #[serde(default)]
    pub keep: Keep,
    /// What it takes each time.
    pub amount: Amount,
    /// In which unit.
    pub unit: Portion,
    /// How often.
    pub times: Amount,
    /// In a week or a month.
    pub per: Per,
    /// Weeks until there is fresh fruit again.
    pub weeks: Amount,
    /// What is left of last season's, by package.
    #[serde(default)]
    pub still: BTreeMap<String, Amount>,
    /// Days the family keeps an opened package; 0: what is left of it is not used again.
    #[serde(default)]
    pub opened_days: u32,
    /// The share lost as juice when it thaws, in thousandths.
    #[serde(default = "usual_shrink")]
    pub shrink: Amount,
    /// How much the family cares for it against other uses.
    #[serde(default = "usual_worth")]
    pub worth: Amount,
    /// Pounds bought for a quart, from the family's own log; absent: as published.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lb_per_quart: Option<Amount>,
    /// What comes of the fruit against the published yield, 1 being as published; absent: as the
    /// household's own days taught, if they did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own_yield: Option<Amount>,
    /// Packages the lead has settled, by package; the rest is worked out around them.
    #[serde(default)]
    pub pinned: BTreeMap<String, Amount>,
}

/// A tenth: sliced fruit loses 5 to 15 of 100 parts as juice (common practice, no source).
fn usual_shrink() -> Amount {
    Amount(100)
}

fn usual_worth() -> Amount {
    Amount::whole(1)
}

/// What can be filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Container {
    /// A jar, for the shelf.
    Jar {
        /// Its size.
        jar: Jar,
    },
    /// A freezer bag.
    Bag {
        /// What is filled in, in quarts, headspace left out.
        holds: Amount,
    },
    /// A freezer tub.
    Tub {
        /// What is filled in, in quarts, headspace left out.
        holds: Amount,
    },
}

/// A package size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Package {
    /// What it is.
    pub container: Container,
    /// How many there are and may be bought.
    #[serde(default)]
    pub stock: Stock,
}

/// How many there are, and how many more may be bought.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// In the house.
    #[serde(default)]
    pub have: Amount,
    /// May be bought.
    #[serde(default)]
    pub more: Amount,
}

/// What there is to work with.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Kitchen {
    /// The canners.
    #[serde(default)]
    pub canners: BTreeMap<CannerId, CannerThere>,
    /// Pots to cook fruit down in.
    #[serde(default)]
    pub pots: BTreeMap<PotId, PotThere>,
    /// Burners of the stove.
    #[serde(default)]
    pub burners: u32,
}

/// A canner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CannerThere {
    /// What it is called.
    pub name: String,
    /// By which method it heats.
    pub method: Method,
    /// Jars of each size in one load.
    pub holds: BTreeMap<Jar, u32>,
    /// Minutes from the heat on to the boil or the pressure, venting included; absent: as the
    /// household's own days taught, else as published.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heating_min: Option<u32>,
}

/// A pot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PotThere {
    /// What it is called.
    pub name: String,
    /// Quarts it may be filled with.
    pub quarts: Amount,
}

/// The freezer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Freezer {
    /// Its size in cubic feet: what can be frozen in a day goes by it.
    pub cubic_ft: Amount,
    /// Cubic feet that are empty; absent: all of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_cubic_ft: Option<Amount>,
}

impl Container {
    /// What goes in, in thousandths of a quart.
    pub fn holds(self) -> Amount {
        match self {
            Container::Jar { jar } => jar_holds(jar),
            Container::Bag { holds } | Container::Tub { holds } => holds,
        }
    }

    /// The jar, if it is one.
    pub fn jar(self) -> Option<Jar> {
        match self {
            Container::Jar { jar } => Some(jar),
            Container::Bag { .. } | Container::Tub { .. } => None,
        }
    }
}

/// Thousandths of a quart in a jar.
pub fn jar_holds(jar: Jar) -> Amount {
    match jar {
        Jar::HalfPint => Amount(250),
        Jar::Pint => Amount(500),
        Jar::Quart => Amount(1000),
        Jar::HalfGallon => Amount(2000),
    }
}

/// Millilitres in a US quart, in thousandths (231 cubic inches a gallon; NIST Handbook 44,
/// appendix C).
const ML_IN_QUART_THOUSANDTHS: i64 = 946_353;

impl Use {
    /// What is put by for it.
    pub fn food(&self) -> &str {
        if self.food.trim().is_empty() {
            &self.produce
        } else {
            &self.food
        }
    }

    /// What one use takes, in thousandths of a quart, rounded up.
    pub fn portion(&self) -> Amount {
        let of = |per_quart: i64, amount: i64| (amount + per_quart - 1).div_euclid(per_quart);
        let amount = self.amount.0;
        Amount(match self.unit {
            Portion::Cup => of(4, amount),
            Portion::Pint => of(2, amount),
            Portion::Quart => amount,
            Portion::Ml | Portion::G => of(ML_IN_QUART_THOUSANDTHS, amount * 1000),
        })
    }

    /// How often it is eaten until the next season: whole times, half a time counts as one.
    pub fn times_in_season(&self) -> i64 {
        let product = i128::from(self.times.0) * i128::from(self.weeks.0);
        // A month is a twelfth of 52 weeks: 3 / 13 of what a week would be.
        let (up, down) = match self.per {
            Per::Week => (product, 1_000_000),
            Per::Month => (product * 3, 13_000_000),
        };
        i64::try_from((up * 2 + down) / (down * 2)).unwrap_or(i64::MAX)
    }
}
