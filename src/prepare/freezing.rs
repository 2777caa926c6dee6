//! What a freezer takes: how much freezes solid in a day, and how much it holds.

use super::ask::Freezer;
use super::options::Choice;
use crate::day::amount::Amount;
use crate::trade;

/// Pounds of a quart of fruit at the most, in thousandths: a quart of water weighs 2.09 lb.
const LB_A_QUART: i64 = 2100;

/// Pounds of a filled package, rounded up: never less than what went in, or than so much water.
pub fn weight(one: &Choice) -> Amount {
    let [_, typical, _] = one.pounds.of(1);
    let as_water = Amount((one.container.holds().0 * LB_A_QUART + 999) / 1000);
    typical.max(as_water)
}

/// Pounds that may go in within 24 hours: two for each cubic foot, the careful end of what is
/// published (rule `fz-rate`, University of Minnesota Extension).
pub fn in_a_day(freezer: &Freezer) -> Amount {
    let rate = i64::from(trade::freezer_load_pounds().value.low);
    Amount(freezer.cubic_ft.0 * rate)
}

/// Pounds it stores in what is free (rule `fz-capacity`, NC State); `None` when no rule is on file.
pub fn room(freezer: &Freezer) -> Option<Amount> {
    let rate: i64 = trade::rule("fz-capacity")?.value.parse().ok()?;
    let free = freezer.free_cubic_ft.unwrap_or(freezer.cubic_ft);
    Some(Amount(free.0 * rate))
}
