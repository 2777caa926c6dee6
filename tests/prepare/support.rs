//! Asks to try things with.

use putby::pace::Learned;
use putby::prepare::proposal::Line;
use putby::prepare::{Ask, Proposal, Settings, propose};
use serde_json::{Value, json};

/// No simulated days.
pub const NO_DAYS: Settings = Settings { runs: 0, seed: 1 };

/// The invented family's ask.
pub fn family() -> Value {
    serde_json::from_str(include_str!("../../fixtures/prepare/family.json")).unwrap()
}

/// A kitchen with a canner of each kind, much of every package and nothing to make yet.
pub fn plenty() -> Value {
    json!({
        "altitude_ft": 640,
        "there_is": {},
        "uses": {},
        "packages": {
            "half-pints": {"container": {"is": "jar", "jar": "half-pint"}, "stock": {"have": 200000}},
            "pints": {"container": {"is": "jar", "jar": "pint"}, "stock": {"have": 200000}},
            "quarts": {"container": {"is": "jar", "jar": "quart"}, "stock": {"have": 200000}},
            "quart-bags": {"container": {"is": "bag", "holds": 1000}, "stock": {"have": 200000}}
        },
        "lids": {"have": 500000},
        "kitchen": {
            "canners": {
                "a": {"name": "A", "method": "boiling-water", "holds": {"half-pint": 9, "pint": 9, "quart": 7}}
            },
            "pots": {"one": {"name": "Pot", "quarts": 12000}},
            "burners": 4
        },
        "freezer": {"cubic_ft": 15000}
    })
}

/// A use of one unit each week, for so many weeks.
pub fn weekly(produce: &str, unit: &str, weeks: i64) -> Value {
    json!({
        "name": format!("Weekly {produce}"), "produce": produce, "keep": "shelf",
        "amount": 1000, "unit": unit, "times": 1000, "per": "week", "weeks": weeks * 1000
    })
}

/// Pounds of a produce.
pub fn pounds(produce: &str, pounds: i64) -> Value {
    json!({"produce": produce, "amount": pounds * 1000, "unit": "lb"})
}

/// Reads an ask.
pub fn ask(value: &Value) -> Ask {
    serde_json::from_value(value.clone()).unwrap()
}

/// The proposal, without a forecast.
pub fn proposed(value: &Value) -> Proposal {
    propose(&ask(value), &Learned::default(), &NO_DAYS).unwrap()
}

/// One line of it.
pub fn line<'a>(told: &'a Proposal, use_id: &str, package: &str) -> &'a Line {
    let found = told
        .lines
        .iter()
        .find(|line| line.use_id == use_id && line.package == package);
    found.unwrap_or_else(|| panic!("no line {use_id} in {package}"))
}

/// The fields that were named as wrong.
pub fn fields(value: &Value) -> Vec<String> {
    let faults = propose(&ask(value), &Learned::default(), &NO_DAYS).unwrap_err();
    for fault in &faults {
        assert!(
            !fault.detail.is_empty() && fault.instead.ends_with('.'),
            "{fault}"
        );
    }
    faults.into_iter().map(|fault| fault.field).collect()
}
