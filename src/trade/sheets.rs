//! The fact sheets as text, and the facts read from them once.
//!
//! For embedding the sheets and checking them as a whole. Not for what a single sheet means; each
//! has its own module. Invariant: `facts` only ever hands out sheets that passed every check.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::de::DeserializeOwned;

use super::faults::{FactFaults, Gathered};
use super::numbers::Numbers;
use super::process_sheet::{self, Table};
use super::product_sheet::{self, Product, RefusedProduct, plain_name};
use super::rule_sheet::{self, Rule};
use super::yield_sheet::{self, Produce, Yield};
use super::{freezer, process_check};

/// The text of the fact sheets, one CSV each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sheets<'text> {
    /// Tested processes, one altitude band a line.
    pub processes: &'text str,
    /// Product names, aliases, acidity and cautions.
    pub products: &'text str,
    /// Products that are refused by name, and why.
    pub refusals: &'text str,
    /// Published yields.
    pub yields: &'text str,
    /// Rules of the trade.
    pub rules: &'text str,
    /// Produce by the container.
    pub produce: &'text str,
}

impl Sheets<'static> {
    /// The sheets the program carries.
    pub const EMBEDDED: Self = Self {
        processes: include_str!("facts/processes.csv"),
        products: include_str!("facts/products.csv"),
        refusals: include_str!("facts/refusals.csv"),
        yields: include_str!("facts/yields.csv"),
        rules: include_str!("facts/rules.csv"),
        produce: include_str!("facts/produce.csv"),
    };
}

/// Facts that passed every check.
#[derive(Debug, Clone)]
pub struct Facts {
    pub(super) tables: Vec<Table>,
    pub(super) products: Vec<Product>,
    pub(super) refusals: Vec<RefusedProduct>,
    pub(super) yields: Vec<Yield>,
    pub(super) rules: BTreeMap<String, Rule>,
    pub(super) produce: Vec<Produce>,
    pub(super) numbers: Numbers,
    pub(super) freezer: freezer::Headspaces,
}

impl Facts {
    /// Reads and checks the sheets.
    ///
    /// # Errors
    /// Every fault found, with file, line and what to mend.
    pub fn read(sheets: Sheets<'_>) -> Result<Self, FactFaults> {
        let mut faults = Gathered::default();
        let products = product_sheet::products(sheets.products, &mut faults);
        let refusals = product_sheet::refusals(sheets.refusals, &products, &mut faults);
        let rules = rule_sheet::rules(sheets.rules, &mut faults);
        let numbers = Numbers::from_rules(&rules, &mut faults);
        let freezer = freezer::Headspaces::from_rules(&rules, &mut faults);
        let tables = process_sheet::tables(sheets.processes, &mut faults);
        process_check::check(
            &tables,
            &products,
            numbers.steam_limit_minutes(),
            &mut faults,
        );
        let yields = yield_sheet::yields(sheets.yields, &products, &mut faults);
        let produce = yield_sheet::produce(sheets.produce, &products, &mut faults);
        match faults.into_error() {
            Some(faults) => Err(faults),
            None => Ok(Self {
                tables,
                products,
                refusals,
                yields,
                rules,
                produce,
                numbers,
                freezer,
            }),
        }
    }

    pub(super) fn product(&self, name: &str) -> Option<&Product> {
        let name = plain_name(name);
        self.products
            .iter()
            .find(|product| product.is_called(&name))
    }
}

fn embedded() -> &'static Result<Facts, FactFaults> {
    static FACTS: OnceLock<Result<Facts, FactFaults>> = OnceLock::new();
    FACTS.get_or_init(|| Facts::read(Sheets::EMBEDDED))
}

/// Checks the embedded sheets; the program calls it at its start and refuses to go on with faults.
///
/// # Errors
/// Every fault found, with file, line and what to mend.
pub fn check() -> Result<(), &'static FactFaults> {
    embedded().as_ref().map(|_| ())
}

/// The embedded facts.
pub(super) fn facts() -> &'static Facts {
    embedded()
        .as_ref()
        .expect("the embedded sheets are checked at start and by the tests")
}

/// Reads the lines of one sheet; a wrong heading or a line of the wrong length is a fault.
pub(super) fn lines<Line: DeserializeOwned>(
    file: &'static str,
    text: &str,
    heading: &str,
    faults: &mut Gathered,
) -> Vec<(u64, Line)> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let headings = match reader.headers() {
        Ok(headings) => headings.clone(),
        Err(error) => {
            faults.file(file, format!("cannot be read as CSV ({error})"));
            return Vec::new();
        }
    };
    if headings.iter().collect::<Vec<_>>().join(",") != heading {
        faults.at(file, 1, format!("the heading must be exactly: {heading}"));
        return Vec::new();
    }
    let mut lines = Vec::new();
    for record in reader.records() {
        let read = record.and_then(|record| {
            let number = record.position().map_or(0, csv::Position::line);
            record
                .deserialize(Some(&headings))
                .map(|line| (number, line))
        });
        match read {
            Ok(line) => lines.push(line),
            Err(error) => faults.file(file, format!("a line cannot be read ({error})")),
        }
    }
    lines
}
