//! An event with its place in the day's history.

use super::command::Role;
use super::event::Event;
use super::time::Timestamp;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// One event as the journal keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Its place, from 1, without gaps.
    pub seq: u64,
    /// When it happened.
    pub at: Timestamp,
    /// The command it came from; one command can have several events.
    pub command: Uuid,
    /// Who gave the command.
    pub role: Role,
    /// What happened.
    pub event: Event,
}
