//! Time for the whole server: the only place that reads a clock.
//!
//! The wall clock is read once, at the start, and only to know what to call the first moment. From
//! then on time is what the boot clock counts, which goes on through suspend and knows nothing of
//! somebody setting the date: a jump of the wall clock can neither shorten a process nor hide one
//! that is over. Not for civil dates or time zones; those are the browser's.

use crate::day::time::Timestamp;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

/// The server's time.
pub trait Clock: Send + Sync {
    /// This moment.
    fn now(&self) -> Timestamp;

    /// How many of its seconds pass in one of the kitchen's; 1 but in a demonstration.
    fn speed(&self) -> f64 {
        1.0
    }
}

/// Time as it passes, from one reading of the wall clock on.
pub struct SystemClock {
    anchor: Timestamp,
    started: Duration,
    speed: f64,
}

impl SystemClock {
    /// Starts at the wall clock, but never before `last`, the newest moment on record: a small
    /// board that boots without knowing the date must not go back in time.
    pub fn starting_after(last: Option<Timestamp>, speed: f64) -> SystemClock {
        let wall = wall_now();
        let anchor = last.map_or(wall, |last| last.max(wall));
        if anchor > wall {
            tracing::warn!(
                behind_ms = anchor.ms_since(wall),
                "this computer's date is behind the journal: going on from the journal's time; \
                 how long the server was down is not known"
            );
        }
        SystemClock {
            anchor,
            started: since_boot(),
            speed,
        }
    }
}

impl Clock for SystemClock {
    fn now(&self) -> Timestamp {
        let elapsed = since_boot().saturating_sub(self.started);
        let elapsed_ms = elapsed.as_secs_f64() * 1000.0 * self.speed;
        Timestamp(self.anchor.0.saturating_add(elapsed_ms as i64))
    }

    fn speed(&self) -> f64 {
        self.speed
    }
}

/// A clock that stands still until it is set, for tests and simulation.
pub struct SetClock(AtomicI64);

impl SetClock {
    /// Stands at `now`.
    pub fn at(now: Timestamp) -> SetClock {
        SetClock(AtomicI64::new(now.0))
    }

    /// Sets it, forward or back.
    pub fn set(&self, now: Timestamp) {
        self.0.store(now.0, Ordering::SeqCst);
    }

    /// Lets `ms` milliseconds pass.
    pub fn advance(&self, ms: i64) {
        self.0.fetch_add(ms, Ordering::SeqCst);
    }
}

impl Clock for SetClock {
    fn now(&self) -> Timestamp {
        Timestamp(self.0.load(Ordering::SeqCst))
    }
}

fn wall_now() -> Timestamp {
    let since_epoch = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .unwrap_or_default();
    Timestamp(i64::try_from(since_epoch.as_millis()).unwrap_or(i64::MAX))
}

/// The boot clock where there is one: it counts the time a laptop sleeps.
#[cfg(target_os = "linux")]
fn since_boot() -> Duration {
    let read = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    let seconds = u64::try_from(read.tv_sec).unwrap_or(0);
    Duration::new(seconds, u32::try_from(read.tv_nsec).unwrap_or(0))
}

/// Elsewhere the standard library's monotonic clock.
#[cfg(not(target_os = "linux"))]
fn since_boot() -> Duration {
    static START: std::sync::OnceLock<std::time::Instant> = std::sync::OnceLock::new();
    START.get_or_init(std::time::Instant::now).elapsed()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn time_never_starts_before_the_journal_ends() {
        let far = Timestamp(wall_now().0 + 86_400_000);
        assert!(SystemClock::starting_after(Some(far), 1.0).now() >= far);
        let long_ago = Some(Timestamp(0));
        assert!(SystemClock::starting_after(long_ago, 1.0).now().0 > 1_600_000_000_000);
    }

    #[test]
    fn time_passes_by_the_speed() {
        let base = SystemClock {
            anchor: Timestamp(1000),
            started: since_boot().saturating_sub(Duration::from_secs(10)),
            speed: 60.0,
        };
        assert!(base.now().0 >= 1000 + 600_000);
        assert!(base.now().0 < 1000 + 3_600_000);
    }
}
