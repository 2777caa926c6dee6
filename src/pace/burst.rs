//! Taps that come at once after a while: so many carriers in all that while.
//!
//! Somebody who took several times as long as expected has forgotten to tap before, or was not at it
//! all the time; what is beyond that is no active time.

use super::log::{Entry, Key, Log, Place, Total};
use super::prior::PRIOR_SHAPE;

/// One helper's taps since they last took their time.
#[derive(Debug, Clone, Default)]
pub(super) struct Burst {
    /// Entries, with the minutes a carrier of each is expected to take.
    entries: Vec<(Place, f64)>,
    /// Active minutes of all together.
    minutes: f64,
    /// Times the expected minutes that are believed.
    patience: f64,
}

/// What is expected of somebody with a product.
#[derive(Debug, Clone, Copy)]
pub(super) struct Expected {
    /// Minutes for a carrier.
    pub(super) minutes: f64,
    /// Times that which are believed. A Gamma service of shape 4 lasts three times its mean in 1 of
    /// 400 cases; while little was seen, the expectation itself may be half of what is true.
    pub(super) patience: f64,
}

impl Expected {
    /// From the trade's figures (carriers a minute) and what was seen.
    pub(super) fn of(usual: f64, seen: Total) -> Expected {
        let weight = PRIOR_SHAPE + seen.carriers;
        Expected {
            minutes: (PRIOR_SHAPE / usual + seen.minutes) / weight,
            patience: 3.0 + 5.0 * PRIOR_SHAPE / weight,
        }
    }

    /// The most minutes that are believed for one carrier.
    pub(super) fn most(self) -> f64 {
        self.minutes * self.patience
    }
}

impl Burst {
    /// Whether a tap could belong to it.
    pub(super) fn is_open(&self) -> bool {
        !self.entries.is_empty()
    }

    /// Nothing more belongs to it.
    pub(super) fn close(&mut self) {
        *self = Burst::default();
    }

    /// Begins anew with a tap.
    pub(super) fn begin(
        &mut self,
        log: &mut Log,
        key: &Key,
        seen: Total,
        expected: Expected,
    ) -> Place {
        self.close();
        self.patience = expected.patience;
        self.join(log, key, seen, expected)
    }

    /// Takes one more tap; the minutes are shared by what each carrier is expected to take.
    pub(super) fn join(
        &mut self,
        log: &mut Log,
        key: &Key,
        seen: Total,
        expected: Expected,
    ) -> Place {
        self.minutes += seen.minutes;
        let carriers = seen.carriers;
        let same = self.entries.iter().find(|(place, _)| place.key == *key);
        let place = match same.map(|(place, _)| place.clone()) {
            Some(place) => {
                let more = Total {
                    carriers,
                    minutes: 0.0,
                };
                log.change(&place, more);
                place
            }
            None => {
                let minutes = 0.0;
                let place = log.push(key, Entry::Done { carriers, minutes });
                self.entries.push((place.clone(), expected.minutes));
                place
            }
        };
        self.settle(log);
        place
    }

    /// Takes a tap back, if it is one of these; gives the minutes that came with it.
    pub(super) fn give_back(&mut self, log: &mut Log, place: &Place, seen: Total) -> Option<f64> {
        self.entries.iter().find(|(of, _)| of == place)?;
        let less = Total {
            carriers: -seen.carriers,
            minutes: 0.0,
        };
        log.change(place, less);
        let left = |(place, _): &(Place, f64)| log.at(place).carriers > 1e-6;
        let minutes = if self.entries.iter().any(left) {
            seen.minutes.min(self.minutes)
        } else {
            self.minutes
        };
        self.minutes -= minutes;
        self.settle(log);
        if self.minutes <= 0.0 {
            self.close();
        }
        Some(minutes)
    }

    fn settle(&self, log: &mut Log) {
        let weigh = |(place, expected): &(Place, f64)| log.at(place).carriers * expected;
        let weights: Vec<f64> = self.entries.iter().map(weigh).collect();
        let all: f64 = weights.iter().sum();
        let minutes = self.minutes.min(self.patience * all);
        for ((place, _), weight) in self.entries.iter().zip(&weights) {
            let share = if all > 1e-9 { weight / all } else { 0.0 };
            let more = Total {
                carriers: 0.0,
                minutes: minutes * share - log.at(place).minutes,
            };
            log.change(place, more);
        }
    }
}
