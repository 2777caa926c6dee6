//! How many of something there may be at a time, of one key and in all.
//!
//! What it keeps true: a place is given back when it is let go, however that comes about.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Arc, Mutex, PoisonError};

/// Why there is no place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Full {
    /// This key has all it may have.
    Key,
    /// All are taken.
    All,
}

/// The places and who holds how many of them.
pub struct Places<K: Hash + Eq> {
    all_max: usize,
    key_max: usize,
    held: Arc<Mutex<Held<K>>>,
}

#[derive(Debug)]
struct Held<K> {
    all: usize,
    by_key: HashMap<K, usize>,
}

/// A place, held until this is dropped.
#[derive(Debug)]
pub struct Place<K: Hash + Eq> {
    key: K,
    held: Arc<Mutex<Held<K>>>,
}

impl<K: Hash + Eq + Clone> Places<K> {
    /// So many in all and of each key.
    pub fn new(all_max: usize, key_max: usize) -> Places<K> {
        let held = Held {
            all: 0,
            by_key: HashMap::new(),
        };
        Places {
            all_max,
            key_max,
            held: Arc::new(Mutex::new(held)),
        }
    }

    /// A place for `key`, who may have `spare` more than others.
    ///
    /// # Errors
    /// There is none.
    pub fn take(&self, key: &K, spare: usize) -> Result<Place<K>, Full> {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        if held
            .by_key
            .get(key)
            .is_some_and(|count| *count >= self.key_max + spare)
        {
            return Err(Full::Key);
        }
        if held.all >= self.all_max + spare {
            return Err(Full::All);
        }
        held.all += 1;
        *held.by_key.entry(key.clone()).or_default() += 1;
        Ok(Place {
            key: key.clone(),
            held: Arc::clone(&self.held),
        })
    }

    /// How many are held.
    pub fn held(&self) -> usize {
        let held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.all
    }
}

impl<K: Hash + Eq> Drop for Place<K> {
    fn drop(&mut self) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.all -= 1;
        if let Some(count) = held.by_key.get_mut(&self.key) {
            *count -= 1;
            if *count == 0 {
                held.by_key.remove(&self.key);
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn one_key_and_all_together_have_their_bounds() {
        let places = Places::new(5, 3);
        let ones: Vec<_> = (0..3).map(|_| places.take(&1, 0).unwrap()).collect();
        assert_eq!(places.take(&1, 0).unwrap_err(), Full::Key);
        let _twos: Vec<_> = (0..2).map(|_| places.take(&2, 0).unwrap()).collect();
        assert_eq!(places.take(&3, 0).unwrap_err(), Full::All);
        drop(ones);
        assert!(places.take(&3, 0).is_ok());
        assert_eq!(places.held(), 2, "nothing is held for long");
        assert_eq!(places.held.lock().unwrap().by_key.len(), 1);
    }

    #[test]
    fn what_is_spared_is_for_one_alone() {
        let places = Places::new(2, 2);
        let _others = [places.take(&1, 0).unwrap(), places.take(&1, 0).unwrap()];
        assert_eq!(places.take(&2, 0).unwrap_err(), Full::All);
        let _lead = places.take(&9, 1).unwrap();
        assert_eq!(places.take(&9, 1).unwrap_err(), Full::All);
    }
}
