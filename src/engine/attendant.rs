//! Whoever else follows the days that are open.

use super::feed::Feed;
use crate::day::ids::DayId;
use std::sync::Arc;

/// Is told of each day that is open, by the day's own thread, which waits for it: so it must be
/// quick, and work on a thread of its own. A day whose thread was replaced is told again.
pub trait Attendant: Send + Sync {
    /// The day is open and shown.
    fn attend(&self, day: &DayId, feed: &Arc<Feed>);
}
