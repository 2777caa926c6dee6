//! What to change next year, from what the shelf saw of a season.
//!
//! The amounts are counted, not remembered: packages eaten a week times the weeks of a season, less
//! what nobody liked, less what is left. Where half was often left over, the next size down holds
//! what is really eaten. Thresholds are this program's own choice and stand here by name.

use super::check::Fault;
use crate::day::amount::{Amount, Measure};
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::trade::Jar;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What the shelf says of a season (`GET /api/shelf/uses`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Season {
    /// By product.
    pub products: BTreeMap<String, Seen>,
    /// Weeks from one season's fruit to the next.
    #[serde(default = "a_year")]
    pub weeks: Amount,
}

fn a_year() -> Amount {
    Amount::whole(52)
}

/// What became of one product in one package.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Seen {
    /// What it is called.
    pub name: String,
    /// What it is in.
    pub package: Kept,
    /// What is left, in thousandths of a package.
    pub left: Amount,
    /// Packages taken.
    pub taken: i64,
    /// When the first could be taken.
    pub first_at: Timestamp,
    /// Until when they could be: the last taking where none is left.
    pub last_at: Timestamp,
    /// Packages of which half was left over.
    #[serde(default)]
    pub half_left: i64,
    /// Packages that were too runny.
    #[serde(default)]
    pub too_runny: i64,
    /// Packages that were not liked.
    #[serde(default)]
    pub not_liked: i64,
    /// Packages that were just right.
    #[serde(default)]
    pub just_right: i64,
}

/// A package on the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "KeptIn")]
pub struct Kept {
    /// Jar, bag or tub.
    pub measure: Measure,
    /// The size of a jar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jar: Option<Jar>,
    /// What goes in, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holds: Option<Holds>,
}

/// How much a package holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Holds {
    /// Thousandths of the measure.
    pub amount: Amount,
    /// In what.
    pub measure: Measure,
}

/// What to change, by product.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NextYear {
    /// Weeks it is counted for.
    pub weeks: Amount,
    /// By product.
    pub products: BTreeMap<String, Told>,
}

/// What to make of one product.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "NextYearOf")]
pub struct Told {
    /// What it is called.
    pub name: String,
    /// The package to use.
    pub package: Kept,
    /// Whether it is a smaller one than this season's.
    pub smaller: bool,
    /// Packages that were made.
    pub made: i64,
    /// Packages eaten a week, in thousandths.
    pub per_week: Amount,
    /// Packages for the whole season, before what is left is taken off.
    pub for_season: i64,
    /// Packages to make.
    pub make: i64,
    /// Against what was made.
    pub change: Change,
    /// Why, each with its numbers.
    pub why: Vec<Why>,
}

/// Against this season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "NextYearChange")]
#[serde(rename_all = "kebab-case")]
pub enum Change {
    /// More packages.
    More,
    /// As many.
    Same,
    /// Fewer.
    Fewer,
}

/// A reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "NextYearReason")]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Why {
    /// So many were eaten in so many weeks.
    Eaten {
        /// Packages.
        taken: i64,
        /// Weeks, in thousandths.
        weeks: Amount,
    },
    /// None was left long before the next season.
    RanOut {
        /// Weeks they lasted.
        weeks: Amount,
    },
    /// Some is left.
    Left {
        /// Packages, in thousandths.
        left: Amount,
    },
    /// Half was left over so often that a smaller package fits.
    HalfLeft {
        /// Packages.
        packages: i64,
        /// Of so many taken.
        of: i64,
    },
    /// There is no smaller package: share it out, or use it sooner.
    NoSmaller {},
    /// Some were not liked: so many fewer.
    NotLiked {
        /// Packages.
        packages: i64,
        /// Of so many taken.
        of: i64,
    },
    /// Some were too runny: the recipe, not the amount, wants a change.
    TooRunny {
        /// Packages.
        packages: i64,
        /// Of so many taken.
        of: i64,
    },
    /// Too little was seen to be sure.
    FewSeen {},
}

/// Half left over in a third of the packages asks for a smaller one.
const HALF_LEFT_SHARE: i64 = 3;
/// Below so many takings, or weeks, the rate says little.
const TAKEN_FEW: i64 = 3;
const WEEKS_FEW: Amount = Amount::whole(4);
const WEEK_MS: i64 = 7 * 24 * 60 * MINUTE_MS;
/// A season has at most so many weeks, and nobody makes more packages of one kind.
const WEEKS_MOST: Amount = Amount::whole(104);
const PACKAGES_MOST: i64 = 100_000;

/// What to change after a season.
///
/// # Errors
/// Every number that cannot be, with its field.
pub fn next_year(season: &Season) -> Result<NextYear, Vec<Fault>> {
    let mut faults = Vec::new();
    if season.weeks <= Amount::ZERO || season.weeks > WEEKS_MOST {
        faults.push(fault("weeks", "Weeks of a season are 1 to 104."));
    }
    for (id, seen) in &season.products {
        check(&mut faults, &format!("products.{id}"), seen);
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let told = season.products.iter();
    let products = told
        .map(|(id, seen)| (id.clone(), one(seen, season.weeks)))
        .collect();
    Ok(NextYear {
        weeks: season.weeks,
        products,
    })
}

fn fault(field: &str, detail: &str) -> Fault {
    Fault {
        field: field.to_owned(),
        detail: detail.to_owned(),
        instead: "Say what the shelf has counted.".to_owned(),
    }
}

fn check(faults: &mut Vec<Fault>, at: &str, seen: &Seen) {
    let counts = [
        ("taken", seen.taken),
        ("half_left", seen.half_left),
        ("too_runny", seen.too_runny),
        ("not_liked", seen.not_liked),
        ("just_right", seen.just_right),
        ("left", seen.left.0 / 1000),
    ];
    for (field, count) in counts {
        if !(0..=PACKAGES_MOST).contains(&count) {
            faults.push(fault(&format!("{at}.{field}"), "It is out of range."));
        }
    }
    if seen.left < Amount::ZERO {
        faults.push(fault(&format!("{at}.left"), "It is below nothing."));
    }
    if seen.last_at < seen.first_at {
        let detail = "It is before the first moment.";
        faults.push(fault(&format!("{at}.last_at"), detail));
    }
}

fn one(seen: &Seen, season: Amount) -> Told {
    let ms = seen.last_at.ms_since(seen.first_at).max(WEEK_MS);
    let weeks = Amount(ms * 1000 / WEEK_MS);
    let mut why = vec![Why::Eaten {
        taken: seen.taken,
        weeks,
    }];
    let few = seen.taken < TAKEN_FEW || weeks < WEEKS_FEW;
    let gone = seen.left <= Amount::ZERO && seen.taken > 0;
    if gone && weeks < season {
        why.push(Why::RanOut { weeks });
    }
    let of = seen.taken;
    let liked = (of - seen.not_liked.min(of)).max(0);
    if seen.not_liked > 0 {
        let packages = seen.not_liked;
        why.push(Why::NotLiked { packages, of });
    }
    let often = seen.half_left > 0 && seen.half_left * HALF_LEFT_SHARE >= of;
    let smaller = often.then(|| seen.package.smaller()).flatten();
    if often {
        let packages = seen.half_left;
        why.push(Why::HalfLeft { packages, of });
        if smaller.is_none() {
            why.push(Why::NoSmaller {});
        }
    }
    if seen.too_runny > 0 {
        let packages = seen.too_runny;
        why.push(Why::TooRunny { packages, of });
    }
    if seen.left > Amount::ZERO {
        why.push(Why::Left { left: seen.left });
    }
    if few {
        why.push(Why::FewSeen {});
    }
    let for_season = per(liked, season, weeks);
    // What is left is in the old size: two of the smaller for each.
    let there = seen.left.0 / 1000 * if smaller.is_some() { 2 } else { 1 };
    let make = (for_season - there).max(0);
    let made = seen.taken + (seen.left.0 + 999) / 1000;
    Told {
        name: seen.name.clone(),
        package: smaller.unwrap_or(seen.package),
        smaller: smaller.is_some(),
        made,
        per_week: Amount(
            i64::try_from(i128::from(of) * 1_000_000 / i128::from(weeks.0)).unwrap_or(0),
        ),
        for_season,
        make,
        change: match make.cmp(&made) {
            std::cmp::Ordering::Greater => Change::More,
            std::cmp::Ordering::Equal => Change::Same,
            std::cmp::Ordering::Less => Change::Fewer,
        },
        why,
    }
}

/// So many in `weeks` are how many in a season, rounded up.
fn per(count: i64, season: Amount, weeks: Amount) -> i64 {
    let product = i128::from(count) * i128::from(season.0);
    let weeks = i128::from(weeks.0.max(1));
    i64::try_from((product + weeks - 1) / weeks).unwrap_or(i64::MAX)
}

impl Kept {
    /// The next size down, if there is one: of jars as they are made, of bags and tubs half.
    fn smaller(self) -> Option<Kept> {
        if self.measure == Measure::Jar {
            let jar = match self.jar? {
                Jar::HalfGallon => Jar::Quart,
                Jar::Quart => Jar::Pint,
                Jar::Pint => Jar::HalfPint,
                Jar::HalfPint => return None,
            };
            return Some(Kept {
                jar: Some(jar),
                ..self
            });
        }
        let holds = self.holds?;
        let half = Holds {
            amount: Amount(holds.amount.0 / 2),
            ..holds
        };
        (half.amount > Amount::ZERO).then_some(Kept {
            holds: Some(half),
            ..self
        })
    }
}
