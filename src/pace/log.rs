//! What was seen of each helper at each station with each product, service by service.
//!
//! Taps that come in a burst are one block: so many carriers in so many active minutes. A service
//! that was broken off is kept by its age. Invariant: every active minute is in exactly one entry
//! or still in somebody's hand.

use super::memory::{self, NONE, Told};
use crate::day::ids::{HelperId, ProductId, StationId};
use crate::sim::posterior::Posterior;
use std::collections::BTreeMap;

/// Helper, station, product.
pub(super) type Key = (HelperId, StationId, ProductId);

/// One entry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Entry {
    /// So many carriers in so many active minutes together.
    Done { carriers: f64, minutes: f64 },
    /// A service that went on for so long and was not done.
    Unfinished { minutes: f64 },
}

/// Where an entry is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Place {
    pub(super) key: Key,
    pub(super) index: usize,
}

/// Sums over entries.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Total {
    pub(super) carriers: f64,
    pub(super) minutes: f64,
}

/// Everything seen.
#[derive(Debug, Clone, Default)]
pub(super) struct Log {
    entries: BTreeMap<Key, Vec<Entry>>,
    totals: BTreeMap<Key, Total>,
}

impl Log {
    /// Writes an entry down.
    pub(super) fn push(&mut self, key: &Key, entry: Entry) -> Place {
        let (carriers, minutes) = match entry {
            Entry::Done { carriers, minutes } => (carriers, minutes),
            Entry::Unfinished { minutes } => (0.0, minutes),
        };
        if !self.entries.contains_key(key) {
            self.entries.insert(key.clone(), Vec::new());
        }
        let total = self.totals.entry(key.clone()).or_default();
        total.carriers += carriers;
        total.minutes += minutes;
        let list = self.entries.entry(key.clone()).or_default();
        list.push(entry);
        Place {
            key: key.clone(),
            index: list.len() - 1,
        }
    }

    /// Changes a done entry by so much.
    pub(super) fn change(&mut self, place: &Place, more: Total) {
        let list = self.entries.get_mut(&place.key);
        let Some(Entry::Done { carriers, minutes }) = list.and_then(|l| l.get_mut(place.index))
        else {
            return;
        };
        *carriers += more.carriers;
        *minutes += more.minutes;
        if let Some(total) = self.totals.get_mut(&place.key) {
            total.carriers += more.carriers;
            total.minutes += more.minutes;
        }
    }

    /// What a done entry is.
    pub(super) fn at(&self, place: &Place) -> Total {
        match self
            .entries
            .get(&place.key)
            .and_then(|l| l.get(place.index))
        {
            Some(Entry::Done { carriers, minutes }) => Total {
                carriers: *carriers,
                minutes: *minutes,
            },
            Some(Entry::Unfinished { .. }) | None => Total::default(),
        }
    }

    /// The sums of one helper, station and product.
    pub(super) fn total(&self, key: &Key) -> Total {
        self.totals.get(key).copied().unwrap_or_default()
    }

    /// All sums.
    pub(super) fn totals(&self) -> impl Iterator<Item = (&Key, Total)> {
        self.totals.iter().map(|(key, total)| (key, *total))
    }

    /// The prior, moved by what was seen, older services counting `kept` of it for each that
    /// followed.
    pub(super) fn posterior(
        &self,
        key: &Key,
        prior: Posterior,
        (shape, kept): (f64, f64),
    ) -> Posterior {
        let entries = self.entries.get(key).into_iter().flatten();
        entries.fold(prior, |law, entry| memory::after(law, entry, shape, kept))
    }

    /// How much of a service is kept for each that follows.
    pub(super) fn kept(&self, shape: f64, prior: impl Fn(&Key) -> Posterior) -> f64 {
        let all = self.entries.iter();
        let told = all.map(|(key, list)| Told {
            entries: list,
            prior: prior(key),
            usual: self.total(key),
        });
        memory::kept(&told.collect::<Vec<_>>(), shape)
    }

    /// The shape of services, pooled: for each helper, station and product the squared deviations
    /// of its blocks from its own mean, against those expected. The prior is a coefficient of
    /// variation of 0.5 (between 0.3 and 0.6, from memory) that counts as [`SHAPE_COUNTS`] services.
    pub(super) fn shape(&self) -> f64 {
        let (mut squares, mut free) = (0.25 * SHAPE_COUNTS, SHAPE_COUNTS);
        for list in self.entries.values() {
            let done = || {
                list.iter().filter_map(|entry| match *entry {
                    Entry::Done { carriers, minutes } if carriers > NONE => {
                        Some((carriers, minutes))
                    }
                    Entry::Done { .. } | Entry::Unfinished { .. } => None,
                })
            };
            let (carriers, minutes) =
                done().fold((0.0, 0.0), |sum, block| (sum.0 + block.0, sum.1 + block.1));
            let blocks = done().count();
            if blocks < 2 || minutes <= 0.0 {
                continue;
            }
            let mean = minutes / carriers;
            // A forgotten hour is no spread of services: what is far out is cut off.
            let square = |(carriers, minutes): (f64, f64)| {
                let off = minutes - carriers * mean;
                (off * off / (carriers * mean * mean)).min(FAR_OUT)
            };
            squares += done().map(square).sum::<f64>();
            free += blocks as f64 - 1.0;
        }
        (free / squares).clamp(1.0, 12.0)
    }
}

/// So many services the prior of the shape counts as.
const SHAPE_COUNTS: f64 = 20.0;

/// The largest squared relative deviation that counts: three times as long as usual.
const FAR_OUT: f64 = 4.0;
