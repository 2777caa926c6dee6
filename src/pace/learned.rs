//! What one day teaches the next: speeds per helper and station, the times of canners and pots.
//!
//! Speeds are kept against what the trade's figures promise, so that a bowl of another size next
//! week is no other speed. Older days count less with each day that passes.

use super::lessons::{Scorch, SeenYield};
use super::minutes::Sample;
use crate::day::ids::{HelperId, ProductId, StationId};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The version of the stored shape of [`Learned`].
pub const LEARNED_VERSION: u32 = 1;

/// What earlier days taught.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Learned {
    /// [`LEARNED_VERSION`] when it was written; another version is not used.
    pub version: u32,
    /// How fast each helper was at each station, against the trade's figures.
    #[serde(default)]
    pub speeds: BTreeMap<HelperId, BTreeMap<StationId, Evidence>>,
    /// Canners, station by station: loading, heating, after.
    #[serde(default)]
    pub(super) canners: BTreeMap<StationId, [Sample; 3]>,
    /// Pots: minutes against what is expected.
    #[serde(default)]
    pub(super) pots: BTreeMap<StationId, Sample>,
    /// Breaks.
    #[serde(default)]
    pub(super) rests: Sample,
    /// What came of the steps against their promise.
    #[serde(default)]
    pub(super) yields: BTreeMap<StationId, BTreeMap<ProductId, SeenYield>>,
    /// Pots that were thrown away, the oldest first; the last [`SCORCHES_MAX`].
    #[serde(default)]
    pub(super) scorches: Vec<Scorch>,
}

/// How many pots that were thrown away are remembered.
pub(super) const SCORCHES_MAX: usize = 20;

/// How much was seen of a speed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct Evidence {
    /// Carriers done.
    pub carriers: f64,
    /// Carriers the trade's figures promise for the active time it took.
    pub promised: f64,
}

impl Default for Learned {
    fn default() -> Learned {
        Learned {
            version: LEARNED_VERSION,
            speeds: BTreeMap::new(),
            canners: BTreeMap::new(),
            pots: BTreeMap::new(),
            rests: Sample::default(),
            yields: BTreeMap::new(),
            scorches: Vec::new(),
        }
    }
}

/// How much a day counts on the next one, and this share of that on the one after: people are not
/// the same every week. From memory.
pub(super) const DAY_COUNTS: f64 = 0.5;

impl Evidence {
    /// Both together.
    pub(super) fn and(self, other: Evidence, counts: f64) -> Evidence {
        Evidence {
            carriers: self.carriers + other.carriers * counts,
            promised: self.promised + other.promised * counts,
        }
    }

    /// The same ratio on no more than so many carriers.
    pub(super) fn at_most(self, carriers: f64) -> Evidence {
        let most = self.carriers.max(self.promised);
        let share = if most > carriers {
            carriers / most
        } else {
            1.0
        };
        Evidence::default().and(self, share)
    }
}

impl Learned {
    /// What is said of one helper at one station.
    pub fn speed(&self, helper: &HelperId, station: &StationId) -> Evidence {
        let stations = self.speeds.get(helper);
        let found = stations.and_then(|stations| stations.get(station));
        found.copied().unwrap_or_default()
    }

    /// What is said of what comes of a step.
    pub(super) fn yield_of(&self, station: &StationId, product: &ProductId) -> SeenYield {
        let products = self.yields.get(station);
        let found = products.and_then(|products| products.get(product));
        found.copied().unwrap_or_default()
    }

    /// This evidence, or none if it is of a version that is not understood.
    pub(super) fn understood(&self) -> Learned {
        if self.version == LEARNED_VERSION {
            self.clone()
        } else {
            Learned::default()
        }
    }

    /// A day older.
    pub(super) fn aged(mut self) -> Learned {
        for evidence in self.speeds.values_mut().flat_map(BTreeMap::values_mut) {
            *evidence = Evidence::default().and(*evidence, DAY_COUNTS);
        }
        let older = |sample: Sample| Sample::default().with_older(sample, DAY_COUNTS);
        for samples in self.canners.values_mut() {
            *samples = samples.map(older);
        }
        for sample in self.pots.values_mut() {
            *sample = older(*sample);
        }
        self.rests = older(self.rests);
        for seen in self.yields.values_mut().flat_map(BTreeMap::values_mut) {
            seen.weight *= DAY_COUNTS;
            seen.sum *= DAY_COUNTS;
        }
        self
    }
}
