//! How fast a helper will be where little was seen of them: from earlier days, from other work of
//! theirs, and from how fast others are there.
//!
//! `rate = usual * speed of the helper * ease of the station`, both factors Gamma of mean 1 and
//! learned from carriers against those the trade's figures promise for the same active time
//! (Gamma-Poisson with exposure). What was seen of a pair itself never enters its own prior twice.

use super::doing::InHand;
use super::learned::{Evidence, Learned};
use super::log::{Key, Log, Total};
use super::prior::PRIOR_SHAPE;
use super::watch::usual;
use crate::day::ids::{HelperId, ProductId, StationId};
use crate::day::state::State;
use crate::sim::posterior::{Posterior, helper_factor};
use std::collections::BTreeMap;

/// The evidence of every pair.
#[derive(Debug, Clone, Default)]
pub(super) struct Speeds {
    /// Of today and earlier days.
    pairs: BTreeMap<HelperId, BTreeMap<StationId, Evidence>>,
    /// Of today, product by product.
    today: BTreeMap<Key, Evidence>,
    earlier: Learned,
    ease: BTreeMap<StationId, f64>,
}

/// How sure a helper's speed and a station's ease are taken to be 1 before anything was seen:
/// coefficients of variation of 0.5 and 0.35, from memory.
const SPEED_SHAPE: f64 = 4.0;
const EASE_SHAPE: f64 = 8.0;

/// One pair counts as no more than so many carriers for what happens elsewhere: people who are
/// quick with a knife need not be quick at the sink.
const PAIR_COUNTS: f64 = 12.0;

/// A prior never gets a greater shape: a coefficient of variation of 0.29 is left for the day.
const PRIOR_SHAPE_MAX: f64 = 12.0;

/// Other products at the same station count as no more than so many carriers: other fruit is other
/// work.
const PRODUCT_COUNTS: f64 = 4.0;

/// Rounds of the alternation between speeds and eases; it settles within a few.
const ROUNDS: usize = 4;

impl Speeds {
    /// Weighs today's log and earlier days.
    pub(super) fn of(
        state: &State,
        log: &Log,
        in_hand: &BTreeMap<HelperId, InHand>,
        earlier: &Learned,
    ) -> Speeds {
        let mut speeds = Speeds {
            earlier: earlier.clone(),
            pairs: earlier.speeds.clone(),
            ..Speeds::default()
        };
        for (key, total) in log.totals() {
            speeds.see(state, key, total);
        }
        for (helper, hand) in in_hand {
            let key = (helper.clone(), hand.station.clone(), hand.product.clone());
            let total = Total {
                carriers: 0.0,
                minutes: hand.age_min,
            };
            speeds.see(state, &key, total);
        }
        for _ in 0..ROUNDS {
            speeds.settle();
        }
        speeds
    }

    fn see(&mut self, state: &State, key: &Key, total: Total) {
        let (helper, station, _) = key;
        let evidence = Evidence {
            carriers: total.carriers,
            promised: total.minutes * usual(state, key),
        };
        let today = self.today.entry(key.clone()).or_default();
        *today = today.and(evidence, 1.0);
        let pairs = self.pairs.entry(helper.clone()).or_default();
        let pair = pairs.entry(station.clone()).or_default();
        *pair = pair.and(evidence, 1.0);
    }

    fn settle(&mut self) {
        let mut ease: BTreeMap<StationId, Vec<(f64, f64, f64)>> = BTreeMap::new();
        for (helper, pairs) in &self.pairs {
            let speed = self.speed(helper, None);
            for (station, evidence) in pairs {
                let evidence = evidence.at_most(PAIR_COUNTS);
                let seen = (speed, evidence.carriers, evidence.promised);
                ease.entry(station.clone()).or_default().push(seen);
            }
        }
        let told = |seen: &Vec<(f64, f64, f64)>| helper_factor(EASE_SHAPE, seen).mean();
        self.ease = ease
            .iter()
            .map(|(id, seen)| (id.clone(), told(seen)))
            .collect();
    }

    /// A helper's speed, by all they did but at one station.
    fn speed(&self, helper: &HelperId, not_at: Option<&StationId>) -> f64 {
        let pairs = self.pairs.get(helper).into_iter().flatten();
        let seen: Vec<(f64, f64, f64)> = pairs
            .filter(|(station, _)| Some(*station) != not_at)
            .map(|(station, evidence)| {
                let ease = self.ease.get(station).copied().unwrap_or(1.0);
                let evidence = evidence.at_most(PAIR_COUNTS);
                (ease, evidence.carriers, evidence.promised)
            })
            .collect();
        helper_factor(SPEED_SHAPE, &seen).mean()
    }

    /// A station's ease, by all who worked there but one.
    fn ease(&self, station: &StationId, without: &HelperId) -> f64 {
        let seen: Vec<(f64, f64, f64)> = self
            .pairs
            .iter()
            .filter(|(helper, _)| *helper != without)
            .filter_map(|(helper, pairs)| {
                let evidence = pairs.get(station)?.at_most(PAIR_COUNTS);
                let speed = self.speed(helper, Some(station));
                Some((speed, evidence.carriers, evidence.promised))
            })
            .collect();
        helper_factor(EASE_SHAPE, &seen).mean()
    }

    /// What is expected of a pair before its own taps of today.
    pub(super) fn prior(&self, state: &State, key: &Key) -> Posterior {
        let (helper, station, product) = key;
        let elsewhere = self.speed(helper, Some(station)) * self.ease(station, helper);
        let own = self.own(helper, station, product);
        let factor =
            Posterior::prior(1.0, PRIOR_SHAPE).seen(own.carriers, own.promised * elsewhere);
        let mean = usual(state, key) * elsewhere * factor.mean();
        Posterior::prior(mean, factor.shape.min(PRIOR_SHAPE_MAX))
    }

    /// What this helper did at this station on earlier days, and today with other products.
    fn own(&self, helper: &HelperId, station: &StationId, product: &ProductId) -> Evidence {
        let same = |key: &Key| key.0 == *helper && key.1 == *station && key.2 != *product;
        let others = self.today.iter().filter(|(key, _)| same(key));
        let others = others.fold(Evidence::default(), |sum, (_, seen)| sum.and(*seen, 1.0));
        let earlier = self.earlier.speed(helper, station);
        earlier.and(others.at_most(PRODUCT_COUNTS), 1.0)
    }

    /// What of today goes to the next day.
    pub(super) fn today(&self) -> BTreeMap<HelperId, BTreeMap<StationId, Evidence>> {
        let mut speeds: BTreeMap<HelperId, BTreeMap<StationId, Evidence>> = BTreeMap::new();
        for ((helper, station, _), evidence) in &self.today {
            let pairs = speeds.entry(helper.clone()).or_default();
            let pair = pairs.entry(station.clone()).or_default();
            *pair = pair.and(*evidence, 1.0);
        }
        speeds
    }
}
