//! Wakes a thread that waits for something new of a day.
//!
//! Ringing costs the day's thread next to nothing and never waits for whoever listens; however
//! often it rang meanwhile, the listener wakes once.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// What was heard of a day so far.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Heard {
    /// The number of the last event that was shown.
    pub seq: u64,
    /// Nothing more will come: the day is closed, or the server stops.
    pub over: bool,
}

/// A day's bell.
#[derive(Default)]
pub struct Bell {
    heard: Mutex<Heard>,
    rung: Condvar,
}

impl Bell {
    /// The day was shown after event `seq`.
    pub(super) fn ring(&self, seq: u64) {
        self.heard().seq = seq;
        self.rung.notify_all();
    }

    /// Nothing more will come.
    pub(super) fn end(&self) {
        self.heard().over = true;
        self.rung.notify_all();
    }

    /// Blocks until an event after `after` was shown, all is over, or `patience` has passed.
    pub fn wait(&self, after: u64, patience: Duration) -> Heard {
        let still = |heard: &mut Heard| !heard.over && heard.seq <= after;
        let waited = self
            .rung
            .wait_timeout_while(self.heard(), patience, still)
            .unwrap_or_else(PoisonError::into_inner);
        *waited.0
    }

    fn heard(&self) -> MutexGuard<'_, Heard> {
        self.heard.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMIT: Duration = Duration::from_secs(30);

    #[test]
    fn what_rang_before_is_heard_at_once() {
        let bell = Bell::default();
        bell.ring(3);
        bell.ring(4);
        let heard = bell.wait(2, LIMIT);
        assert_eq!((heard.seq, heard.over), (4, false));
    }

    #[test]
    fn what_is_known_already_wakes_nobody() {
        let bell = Bell::default();
        bell.ring(4);
        assert_eq!(bell.wait(4, Duration::ZERO).seq, 4);
        assert!(!bell.wait(u64::MAX, Duration::ZERO).over);
    }

    #[test]
    fn a_waiting_thread_wakes_by_the_ring_and_by_the_end() {
        let bell = Bell::default();
        std::thread::scope(|scope| {
            let first = scope.spawn(|| bell.wait(0, LIMIT));
            bell.ring(1);
            assert_eq!(first.join().map(|heard| heard.seq).ok(), Some(1));
            let second = scope.spawn(|| bell.wait(u64::MAX, LIMIT));
            bell.end();
            assert_eq!(second.join().map(|heard| heard.over).ok(), Some(true));
        });
    }
}
