//! What each tap says, and what is left when it is taken back.

use super::burst::Expected;
use super::hands::{Hand, Hands, Usual};
use super::heat::minutes as minutes_between;
use super::log::{Key, Place, Total};
use super::scarce::Shares;
use crate::day::ids::{HelperId, ProductId, StationId};
use crate::day::time::Timestamp;
use std::collections::{BTreeMap, VecDeque};
use uuid::Uuid;

/// A tap sooner than this share of what is expected belongs to the burst before it.
const BURST_SHARE: f64 = 0.25;

/// Work that came to idle hands and was done within this share of what is expected was there before
/// its tap, and tells nothing. A Gamma service of shape 4 is as short in 1 of 1,200 cases.
const TOLD_LATE_SHARE: f64 = 0.1;

/// How many taps of a station can be taken back; as many as the day allows.
const TAPS_KEPT: usize = crate::day::state::TALLIES_KEPT;

/// The taps of each station that may be taken back.
pub(super) type Taps = BTreeMap<StationId, VecDeque<Tapped>>;

/// A tap that may be taken back: what of it went to which entry.
#[derive(Debug, Clone)]
pub(super) struct Tapped {
    command: Uuid,
    credits: Vec<Credit>,
}

/// Carriers credited to an entry, and the time that came with them.
#[derive(Debug, Clone)]
struct Credit {
    place: Place,
    seen: Total,
}

/// A tap.
pub(super) struct Tap<'a> {
    pub(super) command: Uuid,
    pub(super) station: &'a StationId,
    pub(super) product: &'a ProductId,
    pub(super) carriers: f64,
}

impl Hands {
    /// Carriers were done, by somebody named or by all who sit there; `usual` gives the
    /// trade's figures.
    pub(super) fn tap(
        &mut self,
        now: Timestamp,
        tap: &Tap<'_>,
        named: Option<&HelperId>,
        usual: Usual<'_>,
    ) {
        let mut credits = Vec::new();
        if let Some(helper) = named {
            let sits = |hand: &Hand| hand.seated && hand.station.as_ref() == Some(tap.station);
            if !self.all.get(helper).is_some_and(sits) {
                return;
            }
            if let Some(hand) = self.all.get_mut(helper) {
                // Who taps is at work, whatever the board had thought.
                hand.ready_at = hand.ready_at.min(now);
                hand.chores.clear();
            }
            if let Some(scarce) = self.scarce.get_mut(tap.station) {
                let (minutes, idle) = scarce.tapped(helper);
                for other in &idle {
                    if let Some(hand) = self.all.get_mut(other) {
                        hand.idle = true;
                    }
                }
                self.hand_out(Shares::from([(helper.clone(), minutes)]));
            }
            let expected = self.expected(&key(helper, tap), usual);
            credits.extend(self.done(now, helper, tap, tap.carriers, expected));
        } else {
            // The likelihood is that of the sum of their rates: each is credited by their part.
            self.share_out(tap.station);
            let ready = self.ready(tap.station, now);
            let all: Vec<Expected> = ready
                .iter()
                .map(|helper| self.expected(&key(helper, tap), usual))
                .collect();
            let sum: f64 = all.iter().map(|expected| expected.minutes.recip()).sum();
            for (helper, expected) in ready.iter().zip(&all) {
                let carriers = tap.carriers / expected.minutes / sum;
                credits.extend(self.done(now, helper, tap, carriers, *expected));
            }
        }
        let taps = self.taps.entry(tap.station.clone()).or_default();
        taps.push_back(Tapped {
            command: tap.command,
            credits,
        });
        while taps.len() > TAPS_KEPT {
            taps.pop_front();
        }
    }

    /// Credits a helper with carriers; gives the entry, unless the tap tells nothing.
    fn done(
        &mut self,
        now: Timestamp,
        helper: &HelperId,
        tap: &Tap<'_>,
        carriers: f64,
        expected: Expected,
    ) -> Option<Credit> {
        let hand = self.all.get_mut(helper)?;
        hand.product = Some(tap.product.clone());
        let mut minutes = std::mem::take(&mut hand.age_min);
        let whole = expected.minutes * carriers;
        if let Some(came_at) = hand.came_at.take() {
            let since = minutes_between(came_at, now).min(minutes);
            if likelihood(since, whole) > likelihood(minutes, whole) {
                minutes = since;
            }
        }
        if std::mem::take(&mut hand.braked) {
            hand.idle = false;
            hand.burst.close();
            return None;
        }
        if hand.idle && minutes < TOLD_LATE_SHARE * whole {
            return None;
        }
        let was_idle = std::mem::take(&mut hand.idle);
        let joins = !was_idle && hand.burst.is_open() && minutes < BURST_SHARE * whole;
        let key = key(helper, tap);
        let seen = Total { carriers, minutes };
        let place = if joins {
            hand.burst.join(&mut self.log, &key, seen, expected)
        } else {
            hand.burst.begin(&mut self.log, &key, seen, expected)
        };
        Some(Credit { place, seen })
    }

    /// A tap was taken back: its carriers are still in hand, and so is the time they took.
    pub(super) fn undo(&mut self, station: &StationId, command: Uuid) {
        let Some(taps) = self.taps.get_mut(station) else {
            return;
        };
        let Some(place) = taps.iter().position(|tapped| tapped.command == command) else {
            return;
        };
        let credits = taps
            .remove(place)
            .map_or(Vec::new(), |tapped| tapped.credits);
        for Credit { place, seen } in credits {
            let Some(hand) = self.all.get_mut(&place.key.0) else {
                continue;
            };
            if let Some(minutes) = hand.burst.give_back(&mut self.log, &place, seen) {
                hand.age_min += minutes;
                continue;
            }
            // They went on to other work since; if they left, the time was for nothing.
            let stays = hand.station.as_ref() == Some(station);
            let minutes = if stays {
                seen.minutes.min(self.log.at(&place).minutes)
            } else {
                0.0
            };
            hand.age_min += minutes;
            let less = Total {
                carriers: -seen.carriers,
                minutes: -minutes,
            };
            self.log.change(&place, less);
        }
    }
}

/// The logarithm of the density of a Gamma service of shape 4 at `minutes`, but for what does not
/// depend on them.
fn likelihood(minutes: f64, expected: f64) -> f64 {
    3.0 * minutes.max(1e-9).ln() - 4.0 * minutes / expected
}

fn key(helper: &HelperId, tap: &Tap<'_>) -> Key {
    (helper.clone(), tap.station.clone(), tap.product.clone())
}
