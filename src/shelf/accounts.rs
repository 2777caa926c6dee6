//! Where everything that was made is now: the figures of a lot or of a product add up.

use super::command::LotRef;
use super::state::State;
use crate::day::amount::Amount;
use crate::trace::{PackageLot, Place};
use schemars::JsonSchema;
use serde::Serialize;

/// Packages in thousandths. `made` is always `left + eaten + failed + waiting + again + missing`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Accounts {
    /// All there ever were. A jar that was processed again counts once in each of its loads.
    pub made: Amount,
    /// In the pantry, the refrigerator and the freezer.
    pub left: Amount,
    /// Taken.
    pub eaten: Amount,
    /// Broken, not kept at the seal check, or thrown away later.
    pub failed: Amount,
    /// On the rack, not checked.
    pub waiting: Amount,
    /// Gone back to be processed again.
    pub again: Amount,
    /// What counts missed; less than nothing where they found more.
    pub missing: Amount,
}

impl Accounts {
    /// Of one lot.
    pub fn of(state: &State, at: &LotRef, lot: &PackageLot) -> Accounts {
        let kept = state.kept(at);
        let ledgers = || kept.places.values();
        Accounts {
            made: lot.made,
            left: Place::ALL.iter().map(|one| state.left(at, *one)).sum(),
            eaten: ledgers().map(|ledger| ledger.taken).sum(),
            failed: lot.broken + ledgers().map(|ledger| ledger.discarded).sum(),
            waiting: lot.waiting,
            again: lot.again,
            missing: Amount::ZERO - ledgers().map(|ledger| ledger.corrected).sum(),
        }
    }

    /// Adds another's.
    pub fn add(&mut self, other: Accounts) {
        self.made += other.made;
        self.left += other.left;
        self.eaten += other.eaten;
        self.failed += other.failed;
        self.waiting += other.waiting;
        self.again += other.again;
        self.missing += other.missing;
    }

    /// Whether everything that was made is accounted for.
    pub fn add_up(&self) -> bool {
        let parts = [
            self.left,
            self.eaten,
            self.failed,
            self.waiting,
            self.again,
            self.missing,
        ];
        parts.into_iter().sum::<Amount>() == self.made
    }
}
