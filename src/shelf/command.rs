//! What may be ordered of the shelf. In JSON a command is an object whose `order` names it.
//! Packages are thousandths of a package.

use crate::day::amount::Amount;
use crate::day::ids::DayId;
use crate::trace::{BatchCode, LotCode, Place};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// A lot of packages: its code is unique on its day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LotRef {
    /// The day that made it.
    pub day: DayId,
    /// Its code.
    pub code: LotCode,
}

/// A canner load or a run of bags.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BatchRef {
    /// The day that made it.
    pub day: DayId,
    /// Its code.
    pub batch: BatchCode,
}

impl LotRef {
    /// The load or run it is of.
    pub fn batch(&self) -> BatchRef {
        BatchRef {
            day: self.day.clone(),
            batch: self.code.batch(),
        }
    }
}

/// How a package was, for next year's sizes and amounts.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[schemars(rename = "Judgement")]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Half of it was left over: the package is too large.
    HalfLeft,
    /// Too thin or too runny.
    TooRunny,
    /// Nobody liked it.
    NotLiked,
    /// As it should be.
    JustRight,
}

/// Why a package is thrown away.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[schemars(rename = "DiscardReason")]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// The seal came loose or the lid bulges.
    Unsealed,
    /// It looks, smells or behaves wrong, or there is doubt.
    Spoiled,
    /// The glass or the bag broke.
    Broken,
    /// It stood for too long.
    Old,
    /// Its load was recalled.
    Recalled,
}

fn one() -> Amount {
    Amount::whole(1)
}

/// An order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "ShelfCommand")]
#[serde(
    tag = "order",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
#[allow(missing_docs, reason = "fields are explained once, on their types")]
pub enum Command {
    /// Packages are opened to be eaten.
    Take {
        lot: LotRef,
        place: Place,
        #[serde(default = "one")]
        packages: Amount,
    },
    /// How a package that was taken turned out.
    Judge { lot: LotRef, verdict: Verdict },
    /// Packages are put elsewhere; never into the pantry.
    Move {
        lot: LotRef,
        from: Place,
        to: Place,
        #[serde(default = "one")]
        packages: Amount,
    },
    /// Packages are thrown away uneaten.
    Discard {
        lot: LotRef,
        place: Place,
        #[serde(default = "one")]
        packages: Amount,
        why: Why,
    },
    /// So many are really there.
    Correct {
        lot: LotRef,
        place: Place,
        packages: Amount,
    },
    /// Nothing of this load or run may be eaten any more.
    Recall { batch: BatchRef, reason: String },
    /// The recall was a mistake or is settled.
    EndRecall { batch: BatchRef },
    /// An earlier command is taken back.
    Undo { command: Uuid },
}
