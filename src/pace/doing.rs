//! What a station or a helper does with its time, as spans.

use crate::day::ids::{ProductId, StationId};
use crate::day::time::Timestamp;

/// What a station or a helper is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doing {
    /// Work goes on.
    Working,
    /// Ready, and nothing is there to work on; for a canner, less than a full load.
    Starved,
    /// Work is in front, and what comes of it could go nowhere, or what it draws on is out.
    Blocked,
    /// Of a station: work waits, and nobody sees to it.
    Unstaffed,
    /// Of a station: put away, or a rack or shelf, where things only stand. Of a helper: without a
    /// seat, on the way to it, at a chore, resting or gone.
    Away,
}

/// What a station did for a while. Its spans follow on each other without a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// From this moment.
    pub from: Timestamp,
    /// To this one.
    pub to: Timestamp,
    /// What it did.
    pub doing: Doing,
}

/// What a helper did for a while. Their spans follow on each other without a gap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HelperSpan {
    /// From this moment.
    pub from: Timestamp,
    /// To this one.
    pub to: Timestamp,
    /// What they did.
    pub doing: Doing,
    /// Where they sat, also while on the way there.
    pub station: Option<StationId>,
}

/// The carrier a helper has under way.
#[derive(Debug, Clone, PartialEq)]
pub struct InHand {
    /// Where.
    pub station: StationId,
    /// Of what, as far as can be told: what was done there last, if it still waits.
    pub product: ProductId,
    /// Active minutes since it was begun.
    pub age_min: f64,
}
