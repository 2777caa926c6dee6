//! The shelf as it stands: what the days brought, and what became of it by the shelf's own events.

use super::accounts::Accounts;
use super::command::{BatchRef, LotRef, Verdict};
use super::event::Event;
use crate::day::amount::Amount;
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::trace::{PackageLot, Place, Traced};
use std::collections::BTreeMap;
use uuid::Uuid;

/// The whole shelf.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct State {
    /// What the days brought; told anew whenever a day changed.
    days: BTreeMap<DayId, Traced>,
    /// What became of it, by lot.
    pub(super) kept: BTreeMap<LotRef, Kept>,
    /// What must not be eaten.
    pub(super) recalls: BTreeMap<BatchRef, Recall>,
    /// Every command so far, in order.
    pub(super) done: Vec<Done>,
}

/// What became of a lot.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// By place.
    pub places: BTreeMap<Place, Ledger>,
    /// How often it was judged how.
    pub judged: BTreeMap<Verdict, u32>,
}

/// What became of a lot at one place, in packages.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Ledger {
    /// Brought there from another place.
    pub moved_in: Amount,
    /// Brought to another place.
    pub moved_out: Amount,
    /// Opened to be eaten.
    pub taken: Amount,
    /// Thrown away.
    pub discarded: Amount,
    /// What counts found: more, or (negative) less.
    pub corrected: Amount,
}

impl Ledger {
    /// By how much it changes what arrived.
    pub fn change(&self) -> Amount {
        self.moved_in + self.corrected - self.moved_out - self.taken - self.discarded
    }
}

/// A recall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recall {
    /// Since when.
    pub at: Timestamp,
    /// Why, in the lead's words.
    pub reason: String,
}

/// A command that was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Done {
    pub command: Uuid,
    pub at: Timestamp,
    pub event: Event,
    pub undone: bool,
}

impl State {
    /// Takes what a day has made by now, in place of what it had made before.
    pub fn bring(&mut self, day: DayId, traced: Traced) {
        self.days.insert(day, traced);
    }

    /// What the days brought.
    pub fn days(&self) -> impl Iterator<Item = (&DayId, &Traced)> {
        self.days.iter()
    }

    /// Every lot there ever was, the oldest day first.
    pub fn lots(&self) -> impl Iterator<Item = (LotRef, &Traced, &PackageLot)> {
        let mut days: Vec<_> = self.days.iter().collect();
        days.sort_by(|a, b| (&a.1.date, a.0).cmp(&(&b.1.date, b.0)));
        days.into_iter().flat_map(|(day, traced)| {
            traced.lots.iter().map(move |(code, lot)| {
                let lot_ref = LotRef {
                    day: day.clone(),
                    code: code.clone(),
                };
                (lot_ref, traced, lot)
            })
        })
    }

    /// A lot.
    pub fn lot(&self, lot: &LotRef) -> Option<&PackageLot> {
        self.days.get(&lot.day)?.lots.get(&lot.code)
    }

    /// What became of a lot.
    pub fn kept(&self, lot: &LotRef) -> Kept {
        self.kept.get(lot).cloned().unwrap_or_default()
    }

    /// How many came to a place from the day.
    pub fn arrived(&self, lot: &LotRef, place: Place) -> Amount {
        let stood = self.lot(lot).and_then(|lot| lot.places.get(&place));
        stood.map_or(Amount::ZERO, |stood| stood.packages)
    }

    /// How many are left at a place. Less than nothing only where a day took back what it had
    /// brought after it was taken from here: then somebody should count.
    pub fn left(&self, lot: &LotRef, place: Place) -> Amount {
        let change = self
            .kept
            .get(lot)
            .and_then(|kept| kept.places.get(&place))
            .map_or(Amount::ZERO, Ledger::change);
        self.arrived(lot, place) + change
    }

    /// The recall a lot is under.
    pub fn recall(&self, lot: &LotRef) -> Option<&Recall> {
        self.recalls.get(&lot.batch())
    }

    /// What must hold after every command: everything that was made is accounted for.
    ///
    /// # Errors
    /// The lot that does not add up, in words for the log.
    pub fn check(&self) -> Result<(), String> {
        for (at, _, lot) in self.lots() {
            let accounts = Accounts::of(self, &at, lot);
            if !accounts.add_up() {
                return Err(format!("{} of {}: {accounts:?}", at.code, at.day));
            }
        }
        Ok(())
    }

    /// How many packages of a lot were taken.
    pub fn taken(&self, lot: &LotRef) -> Amount {
        let kept = self.kept.get(lot);
        let places = kept.into_iter().flat_map(|kept| kept.places.values());
        places.map(|ledger| ledger.taken).sum()
    }

    /// What was taken and when, without what was taken back.
    pub(super) fn takes(&self) -> impl Iterator<Item = (Timestamp, &LotRef, Amount)> {
        let stands = self.done.iter().filter(|done| !done.undone);
        stands.filter_map(|done| match &done.event {
            Event::Taken { lot, packages, .. } => Some((done.at, lot, *packages)),
            _ => None,
        })
    }
}
