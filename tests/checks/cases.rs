//! The cases of the fixture, and what simulating one gives.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use putby::sim::format::{self, Asked, Task};
use putby::sim::report;
use serde::Deserialize;
use serde_json::Value;

/// One case. What only some kinds of cases have stays in `more`.
#[derive(Debug, Deserialize)]
pub struct Case {
    pub id: String,
    pub source: String,
    /// Which part of the program answers it.
    pub through: String,
    pub network: Option<Value>,
    #[serde(default)]
    pub expect: Vec<Figure>,
    #[serde(flatten)]
    pub more: BTreeMap<String, Value>,
}

/// A figure of the report and what it must be.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// Where it stands in the report, as a JSON pointer.
    pub figure: String,
    pub value: f64,
    /// Exact to so much.
    pub abs: Option<f64>,
    /// Exact to this share.
    pub rel: Option<f64>,
    /// The standard error of the source's own figure.
    #[serde(default)]
    pub std_error: f64,
}

#[derive(Debug, Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

pub fn all() -> &'static [Case] {
    static CASES: OnceLock<Fixture> = OnceLock::new();
    let fixture = CASES.get_or_init(|| {
        let text = include_str!("../../fixtures/checks/cases.json");
        serde_json::from_str(text).unwrap()
    });
    &fixture.cases
}

pub fn case(id: &str) -> &'static Case {
    let found = all().iter().find(|case| case.id == id);
    found.unwrap_or_else(|| panic!("no case {id}"))
}

impl Case {
    pub fn text(&self) -> String {
        self.network.as_ref().unwrap().to_string()
    }

    pub fn task(&self) -> Task {
        task(self.network.as_ref().unwrap())
    }

    /// A further number of the case.
    pub fn number(&self, name: &str) -> f64 {
        let number = self.more[name].as_f64();
        number.unwrap_or_else(|| panic!("{}: {name} is no number", self.id))
    }

    /// A further list of numbers.
    pub fn numbers(&self, name: &str) -> Vec<f64> {
        serde_json::from_value(self.more[name].clone()).unwrap()
    }

    /// The report that the program gives for the case, as JSON.
    pub fn report(&self) -> Value {
        self.answer(None, None)
    }

    /// With so many times the runs and this seed.
    pub fn report_of(&self, times: u32, seed: u64) -> Value {
        self.answer(Some(times * self.task().run.runs.unwrap()), Some(seed))
    }

    fn answer(&self, runs: Option<u32>, seed: Option<u64>) -> Value {
        let text = putby::cli::simulate::answer(&self.text(), runs, seed, true);
        serde_json::from_str(&text.unwrap()).unwrap()
    }
}

pub fn task(network: &Value) -> Task {
    match format::read(&network.to_string()).unwrap() {
        Asked::Network(task) => *task,
        Asked::Brigade(_) => panic!("a brigade is no network"),
    }
}

/// The finish of the first run.
pub fn finish(network: &Value) -> f64 {
    report::finishes(&task(network), 1, 1).unwrap()[0]
}

/// Asserts that an exact figure is met.
pub fn assert_near(found: f64, value: f64, within: f64, what: &str) {
    let off = (found - value).abs();
    assert!(off <= within, "{what}: {found} instead of {value}");
}

/// Every case is run by somebody: those of other parts are checked beside them.
#[test]
fn every_case_has_its_check() {
    let ours = [
        "simulate", "change", "coverage", "loads", "orders", "turns", "arrows",
    ];
    let theirs = ["bound", "compare"];
    assert_eq!(all().len(), 62);
    for case in all() {
        let through = case.through.as_str();
        assert!(!case.source.is_empty(), "{} names no source", case.id);
        assert!(
            ours.contains(&through) || theirs.contains(&through),
            "{}",
            case.id
        );
        let is_listed = super::figures::LISTED.contains(&case.id.as_str());
        assert_eq!(
            is_listed,
            through == "simulate",
            "{} is in the list or not",
            case.id
        );
    }
}
