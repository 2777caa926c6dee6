//! When the next outlook is due.
//!
//! After a pause: at the next change, and a moment later so that a burst of taps makes one; or
//! after a longer while though nothing has changed, since time goes on.

use crate::config::Rhythm;
use crate::engine::Heard;
use std::time::Duration;

/// Waits until an outlook is due after the one that was made of event `made_of`, and says whether
/// one is; not so when the day is over. `wait` is [`crate::engine::Bell::wait`].
pub(super) fn is_due(
    rhythm: &Rhythm,
    made_of: u64,
    mut wait: impl FnMut(u64, Duration) -> Heard,
) -> bool {
    const NO_CHANGE_COUNTS: u64 = u64::MAX;
    if wait(NO_CHANGE_COUNTS, rhythm.pause).over {
        return false;
    }
    let heard = wait(made_of, rhythm.renew.saturating_sub(rhythm.pause));
    if heard.over || heard.seq <= made_of {
        return !heard.over;
    }
    !wait(NO_CHANGE_COUNTS, rhythm.settle).over
}

#[cfg(test)]
mod tests {
    use super::*;

    const RHYTHM: Rhythm = Rhythm {
        settle: Duration::from_secs(1),
        pause: Duration::from_secs(10),
        renew: Duration::from_secs(60),
    };

    /// A bell that rings by a plan, in seconds that never pass.
    struct Planned {
        now: Duration,
        /// When events are shown, one number each from 1.
        rings: Vec<u64>,
        ends: Option<u64>,
    }

    impl Planned {
        fn heard(&self) -> Heard {
            let past = |second: &u64| Duration::from_secs(*second) <= self.now;
            Heard {
                seq: self.rings.iter().filter(|ring| past(ring)).count() as u64,
                over: self.ends.as_ref().is_some_and(past),
            }
        }

        fn wait(&mut self, after: u64, patience: Duration) -> Heard {
            let until = self.now + patience;
            let moments = self.rings.iter().chain(&self.ends).copied();
            let mut moments: Vec<Duration> = moments.map(Duration::from_secs).collect();
            moments.sort();
            for moment in moments.into_iter().filter(|moment| *moment <= until) {
                let heard = self.heard();
                if heard.over || heard.seq > after {
                    return heard;
                }
                self.now = self.now.max(moment);
            }
            let heard = self.heard();
            if !heard.over && heard.seq <= after {
                self.now = until;
            }
            self.heard()
        }
    }

    /// The seconds at which outlooks are made until `last`, each of which takes no time.
    fn made(rings: &[u64], ends: Option<u64>, last: u64) -> Vec<u64> {
        let mut bell = Planned {
            now: Duration::ZERO,
            rings: rings.to_vec(),
            ends,
        };
        let (mut made, mut made_of) = (vec![0], bell.heard().seq);
        while is_due(&RHYTHM, made_of, |after, patience| {
            bell.wait(after, patience)
        }) {
            if bell.now > Duration::from_secs(last) {
                break;
            }
            made.push(bell.now.as_secs());
            made_of = bell.heard().seq;
        }
        made
    }

    #[test]
    fn one_is_made_each_minute_though_nothing_changes() {
        assert_eq!(made(&[], None, 200), [0, 60, 120, 180]);
    }

    #[test]
    fn a_change_makes_one_a_moment_later() {
        assert_eq!(made(&[30], None, 100), [0, 31, 91]);
    }

    #[test]
    fn a_burst_makes_one() {
        assert_eq!(made(&[30, 30, 30, 31, 31], None, 90), [0, 31]);
    }

    #[test]
    fn taps_without_an_end_make_one_every_ten_seconds() {
        let each_second: Vec<u64> = (1..=50).collect();
        assert_eq!(made(&each_second, None, 50), [0, 11, 22, 33, 44]);
    }

    #[test]
    fn a_change_during_the_pause_waits_for_its_end_and_is_not_forgotten() {
        assert_eq!(made(&[3], None, 50), [0, 11]);
    }

    #[test]
    fn nothing_is_made_once_the_day_is_over() {
        assert_eq!(made(&[30], Some(5), 500), [0]);
        assert_eq!(made(&[], Some(45), 500), [0]);
        assert_eq!(made(&[29], Some(30), 500), [0]);
        assert_eq!(made(&[31], Some(31), 500), [0]);
    }
}
