//! How often what opens no door may be tried. Pure: time is passed in, as a span since any beginning.
//!
//! What it keeps true: in any minute at most five tries from one address and thirty in all are looked
//! at, so a code of 40 bits outlasts any day. It stands before the doors only: whoever is in already
//! is never asked here.

use std::collections::VecDeque;
use std::net::IpAddr;
use std::time::Duration;

/// The span in which tries are counted.
const WINDOW: Duration = Duration::from_secs(60);
/// So many from one address.
const EACH: usize = 5;
/// So many from all together.
const ALL: usize = 30;

/// The tries of the last minute, the oldest first; at most thirty.
#[derive(Debug, Default)]
pub struct Guessing(VecDeque<(Duration, IpAddr)>);

impl Guessing {
    /// Takes one try.
    ///
    /// # Errors
    /// There have been too many; gives how long to wait until there may be one again.
    pub fn take(&mut self, now: Duration, from: IpAddr) -> Result<(), Duration> {
        while self.0.front().is_some_and(|(at, _)| now >= *at + WINDOW) {
            self.0.pop_front();
        }
        let own = self.0.iter().filter(|(_, who)| *who == from);
        let own: Vec<Duration> = own.map(|(at, _)| *at).collect();
        let until = |at: Option<&Duration>| at.map(|at| *at + WINDOW - now);
        let wait_own = (own.len() >= EACH).then(|| until(own.first())).flatten();
        let oldest = self.0.front().map(|(at, _)| at);
        let wait_all = (self.0.len() >= ALL).then(|| until(oldest)).flatten();
        match wait_own.max(wait_all) {
            Some(wait) => Err(wait),
            None => {
                self.0.push_back((now, from));
                Ok(())
            }
        }
    }

    /// The last try from an address was right and does not count.
    pub fn give_back(&mut self, from: IpAddr) {
        if let Some(last) = self.0.iter().rposition(|(_, who)| *who == from) {
            self.0.remove(last);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn at(seconds: u64) -> Duration {
        Duration::from_secs(seconds)
    }

    fn house(number: u8) -> IpAddr {
        IpAddr::from([192, 168, 1, number])
    }

    #[test]
    fn five_a_minute_from_one_address_and_then_the_oldest_must_be_a_minute_old() {
        let mut guessing = Guessing::default();
        for second in 0..5 {
            guessing.take(at(second), house(1)).unwrap();
        }
        assert_eq!(guessing.take(at(5), house(1)), Err(at(55)));
        assert!(guessing.take(at(5), house(2)).is_ok(), "a neighbour may");
        assert_eq!(
            guessing.take(Duration::from_millis(59_999), house(1)),
            Err(Duration::from_millis(1))
        );
        assert!(guessing.take(at(60), house(1)).is_ok());
        assert_eq!(guessing.take(at(60), house(1)), Err(at(1)));
    }

    #[test]
    fn thirty_a_minute_in_all_however_many_addresses_try() {
        let mut guessing = Guessing::default();
        let mut looked_at = 0;
        for second in 0..600 {
            let from = house(u8::try_from(second % 250).unwrap());
            looked_at += u64::from(guessing.take(at(second), from).is_ok());
            assert!(guessing.0.len() <= ALL);
        }
        assert!((290..=300).contains(&looked_at), "{looked_at}");
    }

    #[test]
    fn who_is_right_has_not_guessed() {
        let mut guessing = Guessing::default();
        for _ in 0..50 {
            guessing.take(at(1), house(1)).unwrap();
            guessing.give_back(house(1));
        }
        for _ in 0..EACH {
            guessing.take(at(2), house(1)).unwrap();
        }
        assert!(guessing.take(at(2), house(1)).is_err());
    }
}
