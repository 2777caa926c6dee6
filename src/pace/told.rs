//! What is known of a day's pace, and the questions on it.

use super::doing::{HelperSpan, InHand, Span};
use super::heat::{HEATING, Heat, PHASE_CVS, PHASES_MIN, REST_MIN, minutes, pot_expected_min};
use super::learned::{Learned, SCORCHES_MAX};
use super::log::{Key, Log, Total};
use super::minutes::{CannerPace, Factor, Minutes, Sample};
use super::speeds::Speeds;
use super::watch::{Watch, usual};
use super::yields::Yields;
use crate::day::Record;
use crate::day::ids::{HelperId, ProductId, StationId};
use crate::day::state::{Phase, Presence, State};
use crate::day::time::Timestamp;
use crate::sim::posterior::Posterior;
use statrs::function::gamma::checked_gamma_ur;
use std::collections::BTreeMap;

/// Minutes between sitting down and working: hand over, wash hands, walk. Common practice, no
/// source.
pub const CHANGE_MIN: f64 = 1.0;

/// The pace of a day up to a moment.
#[derive(Debug, Clone, Default)]
pub struct Pace {
    day: State,
    at: Timestamp,
    log: Log,
    shape: f64,
    /// How much of a service counts after each that follows.
    kept: f64,
    in_hand: BTreeMap<HelperId, InHand>,
    speeds: Speeds,
    heat: Heat,
    yields: Yields,
    spans: BTreeMap<StationId, Vec<Span>>,
    helper_spans: BTreeMap<HelperId, Vec<HelperSpan>>,
    queue: BTreeMap<StationId, Vec<(Timestamp, f64)>>,
    earlier: Learned,
}

/// What a helper was seen to do at a station.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Seen {
    /// Carriers done.
    pub carriers: f64,
    /// Active minutes, the carrier under way among them.
    pub active_min: f64,
}

impl Pace {
    /// Replays the records of a day up to `now`, with what earlier days taught. Linear in the
    /// records.
    pub fn of(records: &[Record], learned: &Learned, now: Timestamp) -> Pace {
        let mut watch = Watch::of(records, now);
        let earlier = learned.understood().aged();
        let in_hand = in_hand(&watch);
        // Nobody knows whether those who left in the middle come back to it; and what others tapped
        // away from under somebody's hands is not done by them.
        let left: Vec<HelperId> = watch
            .hands
            .all
            .iter()
            .filter(|(id, _)| !in_hand.contains_key(id))
            .map(|(id, _)| id.clone())
            .collect();
        for helper in &left {
            let state = &watch.state;
            watch.hands.break_off(helper, &|key| usual(state, key));
        }
        let (to, tape) = (watch.now, &watch.tape);
        let (spans, helper_spans) = (tape.stations(to), tape.helpers(to));
        let queue = tape.queues(to);
        let log = watch.hands.log;
        let speeds = Speeds::of(&watch.state, &log, &in_hand, &earlier);
        let shape = log.shape();
        Pace {
            kept: log.kept(shape, |key| speeds.prior(&watch.state, key)),
            speeds,
            shape,
            day: watch.state,
            at: to,
            log,
            in_hand,
            heat: watch.heat,
            yields: watch.yields,
            spans,
            helper_spans,
            queue,
            earlier,
        }
    }

    /// The rate of a helper at a station with a product, in carriers a minute of active time. Also
    /// for pairs never seen. `state` is the day as it stands, for its plan.
    pub fn rate(
        &self,
        state: &State,
        helper: &HelperId,
        station: &StationId,
        product: &ProductId,
    ) -> Posterior {
        let key: Key = (helper.clone(), station.clone(), product.clone());
        let prior = self.speeds.prior(state, &key);
        let law = self.log.posterior(&key, prior, (self.shape(), self.kept));
        match self.in_hand(helper) {
            Some(hand) if hand.station == *station && hand.product == *product => {
                law.unfinished(self.shape(), hand.age_min)
            }
            Some(_) | None => law,
        }
    }

    /// What was seen of a helper at a station today, over its products.
    pub fn seen(&self, helper: &HelperId, station: &StationId) -> Seen {
        let here = |key: &Key| key.0 == *helper && key.1 == *station;
        let totals = self.log.totals().filter(|(key, _)| here(key));
        let sum = totals.fold(Total::default(), |sum, (_, total)| Total {
            carriers: sum.carriers + total.carriers,
            minutes: sum.minutes + total.minutes,
        });
        let hand = self
            .in_hand
            .get(helper)
            .filter(|hand| hand.station == *station);
        Seen {
            carriers: sum.carriers,
            active_min: sum.minutes + hand.map_or(0.0, |hand| hand.age_min),
        }
    }

    /// The shape of the Gamma law of services, pooled over the day; 4 (a coefficient of variation
    /// of 0.5) before anything was seen.
    pub fn shape(&self) -> f64 {
        if self.shape > 0.0 { self.shape } else { 4.0 }
    }

    /// The carrier a helper has under way; `None` without a seat or without work.
    pub fn in_hand(&self, helper: &HelperId) -> Option<InHand> {
        self.in_hand.get(helper).cloned()
    }

    /// The phases of a load at a canner station.
    pub fn canner(&self, station: &StationId) -> CannerPace {
        let of =
            |all: &BTreeMap<StationId, [Sample; 3]>| all.get(station).copied().unwrap_or_default();
        let (today, earlier) = (of(&self.heat.canners), of(&self.earlier.canners));
        let phase = |phase: usize| {
            let seen = today[phase].with_older(earlier[phase], 1.0);
            let (mean, cv) = (PHASES_MIN[phase], PHASE_CVS[phase]);
            seen.told(Minutes { mean, cv })
        };
        CannerPace {
            loading: phase(0),
            heating: phase(HEATING),
            after: phase(2),
        }
    }

    /// Minutes from a pot filled to the pot emptied: the recipe's minutes and the lateness seen.
    /// Without a recipe an hour.
    pub fn pot(&self, station: &StationId, product: &ProductId) -> Minutes {
        let recipe = self
            .day
            .step(product, station)
            .and_then(|step| step.cook_min);
        let of = |all: &BTreeMap<StationId, Sample>| all.get(station).copied().unwrap_or_default();
        let seen = of(&self.heat.pots).with_older(of(&self.earlier.pots), 1.0);
        let share = seen.told(Minutes { mean: 1.0, cv: 0.2 });
        Minutes {
            mean: pot_expected_min(recipe) * share.mean,
            cv: share.cv,
        }
    }

    /// What really comes of a step against what its yield promises.
    pub fn yields(&self, state: &State, station: &StationId, product: &ProductId) -> Factor {
        self.yields.told(state, (station, product), &self.earlier)
    }

    /// What came to a station by promise and was not counted since, by the step it came from, in the
    /// measure of the station's step.
    pub fn uncounted(
        &self,
        station: &StationId,
        product: &ProductId,
    ) -> Vec<((StationId, ProductId), f64)> {
        self.yields.unsure(station, product)
    }

    /// Minutes a helper's break still lasts, by those seen; `None` for somebody who does not rest.
    /// Breaks are taken as Gamma of shape 4, given that this one has lasted so long.
    pub fn rests(&self, helper: &HelperId) -> Option<f64> {
        let rests = |presence: Presence| presence == Presence::Resting;
        let helper = self.day.helpers.get(helper).filter(|h| rests(h.presence))?;
        let seen = self.heat.rests.with_older(self.earlier.rests, 1.0);
        let mean = seen
            .told(Minutes {
                mean: REST_MIN,
                cv: 0.5,
            })
            .mean;
        let age = minutes(helper.since, self.at);
        if age <= 0.0 {
            return Some(mean);
        }
        let alive = |shape: f64| checked_gamma_ur(shape, 4.0 * age / mean).unwrap_or(0.0);
        let left = mean * alive(5.0) / alive(4.0) - age;
        // Far beyond all that was seen, the law's tail is exponential of rate 4 / mean.
        Some(if left.is_finite() {
            left.max(mean / 4.0)
        } else {
            mean / 4.0
        })
    }

    /// What each station did, from the opening of the day on.
    pub fn spans(&self) -> &BTreeMap<StationId, Vec<Span>> {
        &self.spans
    }

    /// What each helper did, from when they were on the list.
    pub fn helper_spans(&self) -> &BTreeMap<HelperId, Vec<HelperSpan>> {
        &self.helper_spans
    }

    /// What waited at each station in the last hour, in carriers, at most 60 points; each holds
    /// until the next.
    pub fn queue(&self) -> &BTreeMap<StationId, Vec<(Timestamp, f64)>> {
        &self.queue
    }

    /// For the next day: this one's evidence with that of earlier days, discounted.
    pub fn learned(&self) -> Learned {
        let mut learned = self.earlier.clone();
        for (helper, pairs) in self.speeds.today() {
            let speeds = learned.speeds.entry(helper).or_default();
            for (station, evidence) in pairs {
                let speed = speeds.entry(station).or_default();
                *speed = speed.and(evidence, 1.0);
            }
        }
        for (station, samples) in &self.heat.canners {
            let older = learned.canners.entry(station.clone()).or_default();
            for (older, today) in older.iter_mut().zip(samples) {
                *older = today.with_older(*older, 1.0);
            }
        }
        for (station, sample) in &self.heat.pots {
            let older = learned.pots.entry(station.clone()).or_default();
            *older = sample.with_older(*older, 1.0);
        }
        learned.rests = self.heat.rests.with_older(learned.rests, 1.0);
        for ((station, product), seen) in self.yields.today() {
            let products = learned.yields.entry(station).or_default();
            let older = products.entry(product).or_default();
            older.weight += seen.weight;
            older.sum += seen.sum;
        }
        learned.scorches.extend(self.heat.scorches.iter().cloned());
        let forgotten = learned.scorches.len().saturating_sub(SCORCHES_MAX);
        learned.scorches.drain(..forgotten);
        learned
    }
}

fn in_hand(watch: &Watch) -> BTreeMap<HelperId, InHand> {
    let mut all = BTreeMap::new();
    if watch.state.phase != Phase::Open {
        return all;
    }
    for (helper, hand) in &watch.hands.all {
        let Some(station) = hand.station.clone().filter(|_| hand.seated) else {
            continue;
        };
        let product = watch.product_in_hand(&station, hand.product.as_ref());
        if let Some(product) = product {
            let key = (helper.clone(), station.clone(), product.clone());
            let age_min = watch.hands.age(&key, &|key| usual(&watch.state, key));
            let hand = InHand {
                station,
                product,
                age_min,
            };
            all.insert(helper.clone(), hand);
        }
    }
    all
}
