//! The rules of the trade as their sheet states them.
//!
//! For looking a rule up by its id with its plain statement and source. Not for acting on it.
//! Invariant: ids are unique and every rule has a statement and a source.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::faults::Gathered;
use super::product_sheet::source_text;
use super::sheets::lines;
use super::terms::Confidence;

/// The file name of the sheet.
pub(super) const RULES: &str = "rules.csv";

/// One rule of the trade.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Rule {
    /// Its id, kebab-case.
    pub id: String,
    /// What it is about.
    pub topic: String,
    /// The value as published: a number, a range such as `12-24`, or words.
    pub value: String,
    /// The unit of the value.
    pub unit: String,
    /// The rule in one or two sentences.
    pub statement: String,
    /// Publication and section, or that there is none.
    pub source: String,
    /// Whether the source was read.
    pub confidence: Confidence,
}

#[derive(Deserialize)]
struct RuleLine {
    id: String,
    topic: String,
    value: String,
    unit: String,
    statement: String,
    source: String,
    page: String,
    confidence: Confidence,
}

pub(super) fn rules(text: &str, faults: &mut Gathered) -> BTreeMap<String, Rule> {
    let heading = "id,topic,value,unit,statement,source,page,confidence";
    let mut rules = BTreeMap::new();
    for (line, row) in lines::<RuleLine>(RULES, text, heading, faults) {
        if row.id.is_empty() || row.statement.is_empty() {
            faults.at(RULES, line, "needs an id and a statement");
        }
        if row.source.is_empty() {
            faults.at(
                RULES,
                line,
                "has no source; name one, or write that there is none",
            );
        }
        let rule = Rule {
            id: row.id.clone(),
            topic: row.topic,
            value: row.value,
            unit: row.unit,
            statement: row.statement,
            source: source_text(&row.source, &row.page),
            confidence: row.confidence,
        };
        if rules.insert(row.id, rule).is_some() {
            faults.at(RULES, line, "repeats an id; keep one of the two");
        }
    }
    rules
}
