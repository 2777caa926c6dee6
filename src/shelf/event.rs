//! What happened on the shelf: facts in the past tense. In JSON an event is an object whose `fact`
//! names it. Stored events are never changed; a new meaning gets a new name.

use super::command::{BatchRef, LotRef, Verdict, Why};
use crate::day::Role;
use crate::day::amount::Amount;
use crate::day::time::Timestamp;
use crate::trace::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// A fact.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "ShelfEvent")]
#[serde(
    tag = "fact",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
#[allow(missing_docs, reason = "fields are explained once, in command.rs")]
pub enum Event {
    /// Packages were opened to be eaten.
    Taken {
        lot: LotRef,
        place: Place,
        packages: Amount,
    },
    /// A package was judged.
    Judged { lot: LotRef, verdict: Verdict },
    /// Packages were put elsewhere.
    Moved {
        lot: LotRef,
        from: Place,
        to: Place,
        packages: Amount,
    },
    /// Packages were thrown away.
    Discarded {
        lot: LotRef,
        place: Place,
        packages: Amount,
        why: Why,
    },
    /// They were counted; `was` is what the shelf had thought.
    Corrected {
        lot: LotRef,
        place: Place,
        packages: Amount,
        was: Amount,
    },
    /// A load or run was recalled.
    Recalled { batch: BatchRef, reason: String },
    /// The recall was ended; `reason` and `since` are those it had, so that it can be put back.
    RecallEnded {
        batch: BatchRef,
        reason: String,
        since: Timestamp,
    },
    /// What came with an earlier command was taken back.
    Undone { command: Uuid },
}

/// One event as the journal keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Its place, from 1, without gaps.
    pub seq: u64,
    /// When it happened.
    pub at: Timestamp,
    /// The command it came from.
    pub command: Uuid,
    /// Who gave the command.
    pub role: Role,
    /// What happened.
    pub event: Event,
}
