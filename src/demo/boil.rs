//! What the canners really do: when they boil, and when a boil is lost.
//!
//! The one thing people here know that the board does not: they see the water. It follows from the
//! day's seed and the load alone, so everybody sees the same.

use super::look::Look;
use super::people::Happening;
use super::sight::LoadSight;
use crate::day::ids::LoadId;
use crate::day::time::Timestamp;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A loaded canner comes to the boil in 20 to 30 minutes (extension guide on canners).
const BOIL_MINUTES: std::ops::RangeInclusive<u32> = 20..=30;
/// A lost boil is lost so long after it began, and comes back so long after (common practice).
const LOST_AFTER_MIN: u32 = 8;
const BACK_AFTER_MIN: u32 = 5;
/// So long before the boil an eager eye takes bubbles for one.
const EAGER_MIN: u32 = 4;

/// The number in a load's id; loads of others have none.
pub(super) fn number(load: &LoadId) -> Option<u32> {
    load.as_str().strip_prefix("load-")?.parse().ok()
}

fn first_boil(look: &Look<'_>, id: &LoadId, load: &LoadSight) -> Option<Timestamp> {
    let mixed = id.as_str().bytes().fold(look.seed, |sum, byte| {
        sum.wrapping_mul(31).wrapping_add(u64::from(byte))
    });
    let minutes = ChaCha8Rng::seed_from_u64(mixed).random_range(BOIL_MINUTES);
    Some(load.heated_at?.plus_minutes(minutes))
}

/// Whether the canner with this load boils now.
pub(super) fn is_boiling(look: &Look<'_>, id: &LoadId, load: &LoadSight) -> bool {
    let Some(first) = first_boil(look, id, load) else {
        return false;
    };
    let loses = |happening: &Happening| {
        let Happening::BoilLost { load } = happening else {
            return false;
        };
        Some(*load) == number(id)
    };
    let lost_at = first.plus_minutes(LOST_AFTER_MIN);
    let lost = lost_at..lost_at.plus_minutes(BACK_AFTER_MIN);
    let is_lost = look.cast.happenings.iter().any(loses) && lost.contains(&look.now);
    look.now >= first && !is_lost
}

/// Whether this person takes the first bubbles for a boil now.
pub(super) fn looks_boiling(look: &Look<'_>, id: &LoadId, load: &LoadSight) -> bool {
    let Some(first) = first_boil(look, id, load) else {
        return false;
    };
    let eager = |happening: &Happening| {
        let Happening::EagerBoil { load, helper } = happening else {
            return false;
        };
        Some(*load) == number(id) && helper == look.me
    };
    // Only before somebody has looked closely: the window is short.
    let early = Timestamp(first.0 - i64::from(EAGER_MIN) * 60_000);
    let window = early..early.plus_minutes(1);
    look.cast.happenings.iter().any(eager) && window.contains(&look.now)
}
