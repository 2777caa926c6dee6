//! Where time was on the boot clock, kept in the data folder between two runs.
//!
//! Losing it costs nothing but knowledge: the span between the runs is then unknown.

use super::since_boot;
use crate::day::time::Timestamp;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// A moment and its place on the boot clock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// The server's time.
    pub at: Timestamp,
    /// Which start of this computer the boot clock counts from.
    boot: String,
    /// Milliseconds on the boot clock.
    since_boot_ms: u64,
}

impl Mark {
    /// The mark of this moment; `None` where the system does not tell its boot.
    pub fn now(at: Timestamp) -> Option<Mark> {
        Some(Mark {
            at,
            boot: boot()?,
            since_boot_ms: u64::try_from(since_boot().as_millis()).ok()?,
        })
    }

    /// Whether this computer has run on since the mark was made.
    pub fn is_of_this_boot(&self) -> bool {
        boot().is_some_and(|boot| boot == self.boot) && self.since_boot() <= since_boot()
    }

    /// Its place on the boot clock.
    pub fn since_boot(&self) -> Duration {
        Duration::from_millis(self.since_boot_ms)
    }
}

/// What the system calls its present run.
fn boot() -> Option<String> {
    let told = std::fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?;
    Some(told.trim().to_owned())
}
