//! How fast the kitchen could be at best: linear programs over who works where for how long.
//!
//! A bound and a reason, no plan: it splits people between stations as if they could be in two
//! places on the same minute, and it knows neither queues nor chance. The capacity of a line of
//! flexible helpers is that of Andradóttir, Ayhan and Down (2003); the minutes that the work left
//! takes at least are the same programme with a finite amount of work.

mod best_pace;
mod capacity;
mod linear;
mod reach;
mod remaining;
mod whole;

pub use best_pace::{BestPace, best_pace, pace_against_best};
pub use capacity::{Capacity, Line, capacity};
pub use remaining::{Remaining, WorkLeft, remaining};
pub use whole::{Whole, whole_helpers};

/// Why there is no bound.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoBound {
    /// Nobody may do some of the work.
    #[error("nobody may work at {0}: the work there is never done")]
    NobodyMay(String),
    /// Work that never ends.
    #[error("work arrives without end, so there is no minute by which it is done")]
    NoEnd,
    /// The numbers are no programme.
    #[error("the linear programme could not be solved: {0}")]
    Unsolved(String),
    /// Too many ways to place people one by one.
    #[error("{0} ways to place the helpers are too many to try one by one")]
    TooMany(u128),
}
