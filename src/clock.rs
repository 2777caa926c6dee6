//! Time for the whole server: the only place that reads a clock.
//!
//! The wall clock is read once, at the start, and only when nothing better is known. From then on
//! time is what the boot clock counts, which goes on through suspend and knows nothing of somebody
//! setting the date: a jump of the wall clock can neither shorten a process nor hide one that is
//! over. A mark kept on disk says where time was on the boot clock, so that a restart goes on
//! exactly; after a reboot only the wall clock tells how long it was, and that span is said to be
//! unknown. Not for civil dates or time zones; those are the browser's.

mod mark;

use crate::day::time::Timestamp;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

pub use mark::Mark;

/// The server's time.
pub trait Clock: Send + Sync {
    /// This moment.
    fn now(&self) -> Timestamp;

    /// How many of its seconds pass in one of the kitchen's; 1 but in a demonstration.
    fn speed(&self) -> f64 {
        1.0
    }

    /// The span before the start of which nobody can know how long it really was.
    fn unknown(&self) -> Option<Unknown> {
        None
    }

    /// Where time is now, to go on from after a restart; `None` for a clock that is no real one.
    fn mark(&self) -> Option<Mark> {
        None
    }
}

/// A span whose length only a wall clock tells that may have been set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unknown {
    /// The last moment that is known.
    pub from: Timestamp,
    /// The first moment after it.
    pub until: Timestamp,
}

/// Time as it passes, from one reading on.
pub struct SystemClock {
    anchor: Timestamp,
    started: Duration,
    speed: f64,
    unknown: Option<Unknown>,
}

impl SystemClock {
    /// Goes on from `mark` where this computer has not been started anew since. Otherwise starts at
    /// the wall clock, but never before the newest moment on record: a small board that boots
    /// without knowing the date must not go back in time.
    pub fn resuming(last: Option<Timestamp>, mark: Option<&Mark>, speed: f64) -> SystemClock {
        let started = since_boot();
        let same_boot = mark.filter(|mark| mark.is_of_this_boot());
        if let Some(mark) = same_boot {
            let since = started.saturating_sub(mark.since_boot());
            let anchor = later(mark.at, since, speed);
            return SystemClock {
                anchor: last.map_or(anchor, |last| last.max(anchor)),
                started,
                speed,
                unknown: None,
            };
        }
        let known = last.max(mark.map(|mark| mark.at));
        let wall = wall_now();
        // A date behind what is on record tells nothing of the span: it is unknown, and at least
        // something, so that it is said of a load whose time was running.
        let anchor = known.map_or(wall, |known| wall.max(Timestamp(known.0.saturating_add(1))));
        let unknown = known;
        if anchor > wall {
            tracing::warn!(
                behind_ms = anchor.ms_since(wall),
                "this computer's date is behind what is on record: going on from there; \
                 how long the board was off is not known"
            );
        }
        SystemClock {
            anchor,
            started,
            speed,
            unknown: unknown.map(|from| Unknown {
                from,
                until: anchor,
            }),
        }
    }
}

fn later(from: Timestamp, passed: Duration, speed: f64) -> Timestamp {
    Timestamp(
        from.0
            .saturating_add((passed.as_secs_f64() * 1000.0 * speed) as i64),
    )
}

impl Clock for SystemClock {
    fn now(&self) -> Timestamp {
        let passed = since_boot().saturating_sub(self.started);
        later(self.anchor, passed, self.speed)
    }

    fn speed(&self) -> f64 {
        self.speed
    }

    fn unknown(&self) -> Option<Unknown> {
        self.unknown
    }

    fn mark(&self) -> Option<Mark> {
        Mark::now(self.now())
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
mod tests {
    use super::*;

    #[test]
    fn time_never_starts_before_the_record_ends() {
        let far = Timestamp(wall_now().0 + 86_400_000);
        let clock = SystemClock::resuming(Some(far), None, 1.0);
        assert!(clock.now() > far);
        let unknown = clock
            .unknown()
            .expect("that date tells nothing of the span");
        assert_eq!((unknown.from, unknown.until.ms_since(far)), (far, 1));
    }

    #[test]
    fn a_start_without_a_mark_says_that_the_span_before_is_unknown() {
        let last = Timestamp(1_600_000_000_000);
        let clock = SystemClock::resuming(Some(last), None, 1.0);
        let unknown = clock.unknown().expect("nobody knows how long it was off");
        assert_eq!(unknown.from, last);
        assert!(unknown.until.0 > 1_700_000_000_000 && unknown.until <= clock.now());
        assert_eq!(SystemClock::resuming(None, None, 1.0).unknown(), None);
    }

    #[test]
    fn a_restart_goes_on_from_its_mark_whatever_the_wall_clock_says() {
        let at = Timestamp(5_000_000);
        let Some(mark) = Mark::now(at) else {
            return;
        };
        let clock = SystemClock::resuming(Some(Timestamp(4_000_000)), Some(&mark), 1.0);
        assert_eq!(clock.unknown(), None);
        assert!(clock.now() >= at && clock.now().0 < at.0 + 3_600_000);
    }

    #[test]
    fn time_passes_by_the_speed() {
        let base = SystemClock {
            anchor: Timestamp(1000),
            started: since_boot().saturating_sub(Duration::from_secs(10)),
            speed: 60.0,
            unknown: None,
        };
        assert!(base.now().0 >= 1000 + 600_000);
        assert!(base.now().0 < 1000 + 3_600_000);
    }
}
