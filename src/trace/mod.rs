//! Where finished packages come from, told from a day's events alone.
//!
//! Packages of one product and one lot of fruit that went through one canner load together (or were
//! bagged in one run) share a lot code, see [`LotCode`]; it is what stands on the label. For labels,
//! the page of a lot and the shelf; not for the figures of a day, which are in `lookback`. Pure: the
//! events are replayed through [`crate::day::apply`]. Invariants: a code once given never changes,
//! whatever happens later on the day; for every lot `made` is what went to the pantry, the
//! refrigerator and the freezer, what broke, what went back to be processed again and what waits
//! for its seal check, together; nothing stands in the pantry that was not found sealed.

mod code;
mod figures;
mod keeping;
mod loads;
mod origin;
mod runs;
mod walk;

pub use code::{BadCode, BatchCode, LotCode};
pub use figures::{
    Holds, Keeping, LoadOrigin, NoteTold, Package, PackageLot, Place, Stood, Traced, WorkTold,
};
pub use keeping::keeping;
pub use walk::Walk;

use crate::day::Record;

/// Traces the packages of a day. `records` are its events in order; a day that goes on is traced up
/// to its last event. Without a day that was opened there are none.
pub fn trace(records: &[Record]) -> Traced {
    let mut walk = walk::Walk::default();
    for record in records {
        walk.take(record);
    }
    walk.told()
}
