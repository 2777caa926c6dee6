//! Helpers as they are written in a file.

use serde::Deserialize;

use super::number::NumberForm;

/// A person.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HelperForm {
    /// Their name.
    pub name: String,
    /// Where they sit; left out: they serve every station they may work at.
    pub seat: Option<String>,
    /// What they may do.
    pub does: Vec<DoesForm>,
    /// A factor on all their rates.
    #[serde(default)]
    pub speed: NumberForm,
    /// When they are away, as [from, until] in minutes.
    #[serde(default)]
    pub away: Vec<(f64, f64)>,
    /// Rests beyond that.
    pub rests: Option<RestsForm>,
    /// Steps they would rather do, best first.
    #[serde(default)]
    pub prefers: Vec<String>,
    /// A fixed order of work, step by step.
    #[serde(default)]
    pub turns: Vec<String>,
    /// Minute from which they may work.
    #[serde(default)]
    pub ready_min: f64,
}

/// What a helper may do.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DoesForm {
    /// A station, for all its steps, or a step ("pears at slice").
    pub step: String,
    /// Times as fast as the step's own time.
    #[serde(default)]
    pub rate: NumberForm,
}

/// Rests.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RestsForm {
    /// Minutes to the first.
    pub first_min: f64,
    /// Minutes between two.
    pub every_min: f64,
    /// Minutes of one.
    pub lasts_min: f64,
}
