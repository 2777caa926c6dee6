//! How often something may be done: a bucket of tokens for each key, filled at a steady rate.
//!
//! Kept as one time for each key, the moment its bucket is full again (the generic cell rate
//! algorithm, ITU-T I.371). What it keeps true: a key that has waited out its burst is forgotten,
//! so memory is bounded by what is asked within one burst, and by [`KEYS_MAX`] in any case. Time is
//! passed in.

use std::collections::HashMap;
use std::hash::Hash;
use std::time::Duration;

/// How many keys with a bucket that is not full are known at a time; others are refused then.
const KEYS_MAX: usize = 4096;

/// The buckets of all keys.
pub struct Buckets<K> {
    every: Duration,
    burst: Duration,
    full_at: HashMap<K, Duration>,
}

impl<K: Hash + Eq + Clone> Buckets<K> {
    /// Buckets of `burst` tokens, filled with `per_s` a second.
    pub fn new(per_s: f64, burst: f64) -> Buckets<K> {
        let every = Duration::from_secs_f64(1.0 / per_s);
        Buckets {
            every,
            burst: every.mul_f64(burst),
            full_at: HashMap::new(),
        }
    }

    /// Takes a token at time `now`, counted from any fixed moment.
    ///
    /// # Errors
    /// There is none; the next comes after this long.
    pub fn take(&mut self, key: &K, now: Duration) -> Result<(), Duration> {
        let known = self.full_at.get(key).copied();
        if known.is_none() && self.full_at.len() >= KEYS_MAX {
            self.full_at.retain(|_, full_at| *full_at > now);
            if self.full_at.len() >= KEYS_MAX {
                return Err(self.burst);
            }
        }
        let full_at = known.unwrap_or(now).max(now) + self.every;
        let lacking = (full_at - now).saturating_sub(self.burst);
        if !lacking.is_zero() {
            return Err(lacking);
        }
        self.full_at.insert(key.clone(), full_at);
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const fn ms(ms: u64) -> Duration {
        Duration::from_millis(ms)
    }

    /// How many of `tries` at one moment are allowed.
    fn allowed(buckets: &mut Buckets<u32>, key: u32, tries: usize, now: Duration) -> usize {
        (0..tries)
            .filter(|_| buckets.take(&key, now).is_ok())
            .count()
    }

    #[test]
    fn a_burst_passes_and_then_the_rate() {
        let mut buckets = Buckets::new(20.0, 40.0);
        assert_eq!(allowed(&mut buckets, 1, 100, ms(0)), 40);
        assert_eq!(buckets.take(&1, ms(0)), Err(ms(50)));
        assert_eq!(buckets.take(&1, ms(49)), Err(ms(1)));
        assert_eq!(buckets.take(&1, ms(50)), Ok(()));
        let a_minute = (51..=60_050).filter(|at| buckets.take(&1, ms(*at)).is_ok());
        assert_eq!(a_minute.count(), 1200);
        assert_eq!(allowed(&mut buckets, 1, 100, ms(120_000)), 40, "full again");
    }

    #[test]
    fn one_key_takes_nothing_from_another() {
        let mut buckets = Buckets::new(20.0, 40.0);
        assert_eq!(allowed(&mut buckets, 1, 10_000, ms(0)), 40);
        assert_eq!(allowed(&mut buckets, 2, 100, ms(0)), 40);
    }

    #[test]
    fn memory_is_bounded_and_full_buckets_are_forgotten() {
        let mut buckets = Buckets::new(20.0, 40.0);
        let keys = KEYS_MAX as u32;
        for key in 0..2 * keys {
            assert_eq!(buckets.take(&key, ms(0)).is_ok(), key < keys);
        }
        assert_eq!(buckets.full_at.len(), KEYS_MAX);
        assert_eq!(buckets.take(&0, ms(0)), Ok(()), "who is known goes on");
        assert_eq!(
            buckets.take(&keys, ms(60)),
            Ok(()),
            "and there is room again"
        );
        assert_eq!(buckets.full_at.len(), 2);
    }
}
