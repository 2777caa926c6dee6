//! The numbers a preserving day needs, each with the source of its rule.
//!
//! For code that counts with a rule: waits, windows, capacities, temperatures. Not for rules that
//! are words. Invariant: every number is read from `rules.csv`; none is written here.

use std::collections::BTreeMap;

use serde::Serialize;

use super::faults::Gathered;
use super::rule_sheet::{RULES, Rule};
use super::sheets::facts;
use super::terms::Pack;

/// A value with the publication it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Sourced<Value> {
    /// The value; its unit is in the name of what returned it.
    pub value: Value,
    /// Publication and section.
    pub source: &'static str,
}

/// A published range, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Range {
    /// The lowest value.
    pub low: u32,
    /// The highest value.
    pub high: u32,
}

/// Ids of the rules whose value is one whole number.
const WHOLE: [&str; 14] = [
    "rest",
    "unsealed-window",
    "underprocessed-window",
    "pressure-vent",
    "pressure-depressurise",
    "water-depth",
    "water-depth-long",
    "water-depth-long-over",
    "load-temp-raw",
    "load-temp-hot",
    "cap-quarts",
    "steam-limit",
    "sterilise-when",
    "store-canned",
];

/// Ids of the rules whose value is a range such as `12-24`.
const RANGES: [&str; 5] = [
    "cool-time",
    "cap-pints",
    "comeup-time",
    "fz-rate",
    "store-frozen",
];

/// Ids of rules that must be there for their words.
const WORDS: [&str; 3] = ["darken", "jar-smaller", "unsealed-fridge"];

/// The numbers, by the id of their rule; a whole number is a range of one value.
#[derive(Debug, Clone, Default)]
pub(super) struct Numbers(BTreeMap<&'static str, Range>);

impl Numbers {
    pub(super) fn from_rules(rules: &BTreeMap<String, Rule>, faults: &mut Gathered) -> Self {
        let mut numbers = BTreeMap::new();
        let mut needed = |id: &'static str, read: fn(&str) -> Option<Range>, form: &str| {
            let Some(rule) = rules.get(id) else {
                faults.file(RULES, format!("the rule \"{id}\" is missing"));
                return;
            };
            match read(&rule.value) {
                Some(range) => {
                    numbers.insert(id, range);
                }
                None => faults.file(RULES, format!("the value of \"{id}\" must be {form}")),
            }
        };
        for id in WHOLE {
            needed(id, whole, "a whole number above 0");
        }
        for id in RANGES {
            needed(id, range, "a range such as 12-24");
        }
        for id in WORDS {
            if !rules.contains_key(id) {
                faults.file(RULES, format!("the rule \"{id}\" is missing"));
            }
        }
        Self(numbers)
    }

    fn range(&self, id: &'static str) -> Range {
        *self
            .0
            .get(id)
            .expect("every id asked for is in WHOLE or RANGES, checked when read")
    }

    /// The longest steam process in minutes; `None` when its rule is at fault.
    pub(super) fn steam_limit_minutes(&self) -> Option<u32> {
        self.0.get("steam-limit").map(|range| range.high)
    }
}

fn whole(value: &str) -> Option<Range> {
    let number = value.parse().ok().filter(|number| *number > 0)?;
    Some(Range {
        low: number,
        high: number,
    })
}

fn range(value: &str) -> Option<Range> {
    let (low, high) = value.split_once('-')?;
    let range = Range {
        low: low.parse().ok()?,
        high: high.parse().ok()?,
    };
    if range.low <= range.high {
        Some(range)
    } else {
        None
    }
}

fn sourced_range(id: &'static str) -> Sourced<Range> {
    Sourced {
        value: facts().numbers.range(id),
        source: source(id),
    }
}

fn sourced(id: &'static str) -> Sourced<u32> {
    Sourced {
        value: facts().numbers.range(id).high,
        source: source(id),
    }
}

fn source(id: &'static str) -> &'static str {
    let rule = facts()
        .rules
        .get(id)
        .expect("every id asked for is checked when read");
    &rule.source
}

/// Minutes to wait with heat and lid off before lifting jars from boiling water (rule `rest`).
pub fn rest_minutes() -> Sourced<u32> {
    sourced("rest")
}

/// Hours jars cool undisturbed before their seals are tested (rule `cool-time`).
pub fn cooling_hours() -> Sourced<Range> {
    sourced_range("cool-time")
}

/// Hours within which an unsealed jar may be reprocessed (rule `unsealed-window`).
pub fn reprocess_hours() -> Sourced<u32> {
    sourced("unsealed-window")
}

/// Hours within which a load whose process was wrong may be canned again (rule
/// `underprocessed-window`).
pub fn underprocessed_hours() -> Sourced<u32> {
    sourced("underprocessed-window")
}

/// Quart jars most canners hold (rule `cap-quarts`).
pub fn canner_quarts() -> Sourced<u32> {
    sourced("cap-quarts")
}

/// Pint jars most canners hold in one layer (rule `cap-pints`).
pub fn canner_pints() -> Sourced<Range> {
    sourced_range("cap-pints")
}

/// Degrees Fahrenheit of the canner's water when jars of this pack go in (rules `load-temp-raw`
/// and `load-temp-hot`).
pub fn loading_water_fahrenheit(pack: Pack) -> Sourced<u32> {
    match pack {
        Pack::Raw => sourced("load-temp-raw"),
        Pack::Hot => sourced("load-temp-hot"),
    }
}

/// Inches of water over the lids for a boiling-water process of these minutes (rules
/// `water-depth`, `water-depth-long`, `water-depth-long-over`).
pub fn depth_over_lids_inches(process_minutes: u32) -> Sourced<u32> {
    if process_minutes > sourced("water-depth-long-over").value {
        sourced("water-depth-long")
    } else {
        sourced("water-depth")
    }
}

/// Minutes a pressure canner vents steam before it is closed (rule `pressure-vent`).
pub fn vent_minutes() -> Sourced<u32> {
    sourced("pressure-vent")
}

/// Minutes to wait after the pressure is back at zero before opening (rule
/// `pressure-depressurise`).
pub fn depressurise_minutes() -> Sourced<u32> {
    sourced("pressure-depressurise")
}

/// Minutes a loaded boiling-water canner usually needs to boil (rule `comeup-time`).
pub fn boil_up_minutes() -> Sourced<Range> {
    sourced_range("comeup-time")
}

/// The longest process in minutes, altitude included, for an atmospheric steam canner (rule
/// `steam-limit`).
pub fn steam_limit_minutes() -> Sourced<u32> {
    sourced("steam-limit")
}

/// Jars are sterilised first when a process is shorter than these minutes (rule
/// `sterilise-when`).
pub fn sterilise_below_minutes() -> Sourced<u32> {
    sourced("sterilise-when")
}

/// Pounds per cubic foot of freezer that may go in within 24 hours; plan with the lower (rule
/// `fz-rate`).
pub fn freezer_load_pounds() -> Sourced<Range> {
    sourced_range("fz-rate")
}

/// Months within which canned food is at its best (rule `store-canned`).
pub fn canned_best_months() -> Sourced<u32> {
    sourced("store-canned")
}

/// Months within which frozen fruit and vegetables are at their best at 0 °F; label with the lower
/// (rule `store-frozen`).
pub fn frozen_best_months() -> Sourced<Range> {
    sourced_range("store-frozen")
}

/// What is published about a jar that did not seal and was put into the refrigerator: days without
/// a number, so none is given here (rule `unsealed-fridge`).
pub fn unsealed_in_refrigerator() -> Sourced<&'static str> {
    let rule = facts()
        .rules
        .get("unsealed-fridge")
        .expect("checked when read");
    Sourced {
        value: &rule.statement,
        source: &rule.source,
    }
}

/// The solution that keeps cut fruit from darkening, as published (rule `darken`).
pub fn cut_fruit_holding() -> Sourced<&'static str> {
    let rule = facts().rules.get("darken").expect("checked when read");
    Sourced {
        value: &rule.statement,
        source: &rule.source,
    }
}
