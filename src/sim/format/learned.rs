//! Rates that are learned from what was seen, as a file states the evidence.

use serde::Deserialize;

/// The evidence for the rate of one pair of hands at one step: carriers a minute of active time.
///
/// The rate has a Gamma prior; each finished service and the unfinished ones add to it. Gamma
/// services of known shape keep it Gamma (conjugacy), and so does forgetting.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LearnedRate {
    /// Shape and rate of the prior: its mean is the first divided by the second.
    pub prior: (f64, f64),
    /// Minutes of active time that each finished service took, oldest first.
    #[serde(default)]
    pub durations: Vec<f64>,
    /// Minutes that each service still under way has gone on.
    #[serde(default)]
    pub unfinished: Vec<f64>,
    /// Shape of the services; 1 is exponential, 4 a coefficient of variation of a half.
    #[serde(default = "one")]
    pub shape: f64,
    /// What is kept of all that was known before at each new service, from above 0 to 1; 1 forgets
    /// nothing (power discounting, West and Harrison).
    #[serde(default = "one")]
    pub keep: f64,
}

/// The evidence for one helper's speed, shared by all the stations they worked at.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LearnedSpeed {
    /// Shape of the prior, whose mean is 1: how many services of evidence it weighs as much as.
    pub prior_services: f64,
    /// What was seen, station by station.
    pub seen: Vec<SeenAt>,
}

/// What one helper did at one station.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenAt {
    /// The usual rate there, in services a minute.
    pub base_rate: f64,
    /// Services done.
    pub done: f64,
    /// Minutes of active time.
    pub active_min: f64,
}

pub(super) fn one() -> f64 {
    1.0
}
