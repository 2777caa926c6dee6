//! Who sits where, and how long they have been at the carrier in their hands.
//!
//! A helper's age runs only while they sit with work in front and room behind. At a tap it becomes
//! the time of what was tapped. Whoever leaves in the middle takes the age along and goes on with it
//! when they come back to the same seat; once they sit elsewhere it stays a service not done.

use super::burst::{Burst, Expected};
use super::credit::Taps;
use super::log::{Entry, Key, Log};
use super::scarce::{Scarce, Shares};
use super::told::CHANGE_MIN;
use crate::day::ids::{ChoreId, HelperId, ProductId, StationId};
use crate::day::time::{MINUTE_MS, Timestamp};
use std::collections::{BTreeMap, BTreeSet};

/// Everybody's hands.
#[derive(Debug, Clone, Default)]
pub(super) struct Hands {
    pub(super) all: BTreeMap<HelperId, Hand>,
    pub(super) scarce: BTreeMap<StationId, Scarce>,
    pub(super) taps: Taps,
    pub(super) log: Log,
}

/// One helper's.
#[derive(Debug, Clone, Default)]
pub(super) struct Hand {
    /// The seat, or the last one.
    pub(super) station: Option<StationId>,
    /// Whether they sit there.
    pub(super) seated: bool,
    /// When they can begin there.
    pub(super) ready_at: Timestamp,
    /// Active minutes since the last tap.
    pub(super) age_min: f64,
    /// When more came to where perhaps nothing was, since then: see [`Hands::came`].
    pub(super) came_at: Option<Timestamp>,
    /// Whether they had nothing to do since then.
    pub(super) idle: bool,
    /// Whether the brake on filling was on since then: nobody knows whether they stopped.
    pub(super) braked: bool,
    /// What they did last there.
    pub(super) product: Option<ProductId>,
    pub(super) burst: Burst,
    /// Chores they see to; meanwhile they are not at their seat.
    pub(super) chores: BTreeSet<ChoreId>,
}

/// Carriers a minute that the trade's figures promise.
pub(super) type Usual<'a> = &'a dyn Fn(&Key) -> f64;

impl Hand {
    /// Whether they sit there and are ready to work.
    pub(super) fn is_ready(&self, now: Timestamp) -> bool {
        self.seated && self.ready_at <= now && self.chores.is_empty()
    }
}

impl Hands {
    /// Who is ready at a station.
    pub(super) fn ready(&self, station: &StationId, now: Timestamp) -> Vec<HelperId> {
        let here = |hand: &Hand| hand.is_ready(now) && hand.station.as_ref() == Some(station);
        let all = self.all.iter().filter(|(_, hand)| here(hand));
        all.map(|(id, _)| id.clone()).collect()
    }

    /// `minutes` passed at a station with so many carriers to work on.
    pub(super) fn pass(
        &mut self,
        station: &StationId,
        hands: &[HelperId],
        carriers: f64,
        minutes: f64,
    ) {
        if carriers <= 0.0 {
            for hand in hands {
                if let Some(hand) = self.all.get_mut(hand) {
                    hand.idle = true;
                }
            }
        } else if carriers >= hands.len() as f64 {
            for hand in hands {
                if let Some(hand) = self.all.get_mut(hand) {
                    hand.age_min += minutes;
                }
            }
        } else {
            let scarce = self.scarce.entry(station.clone()).or_default();
            let shares = scarce.take(minutes, carriers, hands);
            self.hand_out(shares);
        }
    }

    /// More came to a station where so many carriers were. The board is a carrier wrong as easily as
    /// that: what it shows last may be none. So whoever would have had nothing without it may have
    /// begun only now.
    pub(super) fn came(&mut self, now: Timestamp, hands: &[HelperId], carriers: f64) {
        if carriers <= 0.0 || carriers >= hands.len() as f64 + 1.0 {
            return;
        }
        for hand in hands {
            if let Some(hand) = self.all.get_mut(hand) {
                hand.came_at = Some(now);
            }
        }
    }

    /// The brake on filling was on.
    pub(super) fn brake(&mut self, hands: &[HelperId]) {
        for hand in hands {
            if let Some(hand) = self.all.get_mut(hand) {
                hand.braked = true;
            }
        }
    }

    pub(super) fn hand_out(&mut self, shares: Shares) {
        for (helper, minutes) in shares {
            if let Some(hand) = self.all.get_mut(&helper) {
                hand.age_min += minutes;
            }
        }
    }

    /// A seat was taken; gives when work can begin there.
    pub(super) fn sit(
        &mut self,
        now: Timestamp,
        helper: &HelperId,
        station: &StationId,
        usual: Usual<'_>,
    ) -> Timestamp {
        let elsewhere = self
            .all
            .get(helper)
            .is_some_and(|hand| hand.station.as_ref().is_some_and(|last| last != station));
        if elsewhere {
            self.break_off(helper, usual);
        }
        let hand = self.all.entry(helper.clone()).or_default();
        hand.came_at = None;
        if hand.station.as_ref() != Some(station) {
            hand.product = None;
            hand.idle = false;
        }
        hand.station = Some(station.clone());
        hand.seated = true;
        hand.ready_at = ready_at(now);
        hand.ready_at
    }

    /// Somebody sees to a chore.
    pub(super) fn begin_chore(&mut self, helper: &HelperId, chore: &ChoreId) {
        let hand = self.all.entry(helper.clone()).or_default();
        hand.chores.insert(chore.clone());
    }

    /// A chore is done.
    pub(super) fn end_chore(&mut self, chore: &ChoreId) {
        for hand in self.all.values_mut() {
            hand.chores.remove(chore);
        }
    }

    /// A seat was left.
    pub(super) fn leave(&mut self, helper: &HelperId) {
        let station = self.all.get(helper).and_then(|hand| hand.station.clone());
        if let Some(station) = station {
            self.share_out(&station);
        }
        if let Some(hand) = self.all.get_mut(helper) {
            hand.seated = false;
            hand.burst.close();
        }
    }

    /// What a helper had in hand is not done, and they are not at it any more.
    pub(super) fn break_off(&mut self, helper: &HelperId, usual: Usual<'_>) {
        let Some(hand) = self.all.get_mut(helper) else {
            return;
        };
        let minutes = std::mem::take(&mut hand.age_min);
        hand.burst.close();
        let at = hand.station.clone().zip(hand.product.clone());
        if let (Some((station, product)), true) = (at, minutes > 0.0) {
            let key = (helper.clone(), station, product);
            let minutes = minutes.min(self.expected(&key, usual).most());
            self.log.push(&key, Entry::Unfinished { minutes });
        }
    }

    /// The work at a station is gone. If a count said so it was never there, and time at it is no
    /// time; else what was in hand was not done.
    pub(super) fn work_gone(&mut self, station: &StationId, never_there: bool, usual: Usual<'_>) {
        let here = |hand: &Hand| hand.seated && hand.station.as_ref() == Some(station);
        let all = self.all.iter().filter(|(_, hand)| here(hand));
        let seated: Vec<HelperId> = all.map(|(id, _)| id.clone()).collect();
        if never_there {
            if let Some(scarce) = self.scarce.get_mut(station) {
                scarce.forget();
            }
            for helper in seated {
                if let Some(hand) = self.all.get_mut(&helper) {
                    hand.age_min = 0.0;
                }
            }
        } else {
            self.share_out(station);
            for helper in seated {
                self.break_off(&helper, usual);
            }
        }
    }

    pub(super) fn share_out(&mut self, station: &StationId) {
        if let Some(scarce) = self.scarce.get_mut(station) {
            let shares = scarce.share_out();
            self.hand_out(shares);
        }
    }

    /// The believed age of what somebody has in hand, their share of what two are at among it.
    pub(super) fn age(&self, key: &Key, usual: Usual<'_>) -> f64 {
        let (helper, station, _) = key;
        let own = self.all.get(helper).map_or(0.0, |hand| hand.age_min);
        let scarce = self.scarce.get(station);
        let age = own + scarce.map_or(0.0, |scarce| scarce.share_of(helper));
        age.min(self.expected(key, usual).most())
    }

    /// What is expected of somebody, by the trade's figures and what was seen so far.
    pub(super) fn expected(&self, key: &Key, usual: Usual<'_>) -> Expected {
        Expected::of(usual(key), self.log.total(key))
    }
}

/// When somebody who sits down now can begin.
pub(super) fn ready_at(now: Timestamp) -> Timestamp {
    let change_ms = (CHANGE_MIN * MINUTE_MS as f64) as i64;
    Timestamp(now.0.saturating_add(change_ms))
}
