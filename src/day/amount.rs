//! Amounts as exact integers: thousandths of the measure that stands beside them.
//!
//! An amount never carries its measure; the step of the route it waits at does. Turning one measure
//! into the next is done only by a [`Ratio`], whose remainder is kept, so nothing is lost to
//! rounding however many carriers pass.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The largest amount accepted in a command: a million of any measure.
pub const AMOUNT_MAX: Amount = Amount(1_000_000_000);

/// Thousandths of a measure: 2500 at a step measured in pounds is 2.5 lb.
///
/// Read from JSON it must be a whole number that every program can hold exactly (2^53 - 1 at most);
/// so no sum or difference of amounts can overflow.
#[derive(
    Debug,
    Clone,
    Copy,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(try_from = "i64", into = "i64")]
#[schemars(extend("minimum" = -JSON_INTEGER_MAX, "maximum" = JSON_INTEGER_MAX))]
pub struct Amount(pub i64);

/// The largest integer that JSON carries between all programs unharmed: 2^53 - 1 (RFC 8259, 6).
pub const JSON_INTEGER_MAX: i64 = (1 << 53) - 1;

/// Why a number is no amount or moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{0} is out of range: use a whole number between -2^53 and 2^53")]
pub struct OutOfRange(i64);

/// # Errors
/// If the number is beyond [`JSON_INTEGER_MAX`] either way.
pub(super) fn json_integer(number: i64) -> Result<i64, OutOfRange> {
    if (-JSON_INTEGER_MAX..=JSON_INTEGER_MAX).contains(&number) {
        Ok(number)
    } else {
        Err(OutOfRange(number))
    }
}

impl TryFrom<i64> for Amount {
    type Error = OutOfRange;
    fn try_from(number: i64) -> Result<Amount, OutOfRange> {
        json_integer(number).map(Amount)
    }
}

impl From<Amount> for i64 {
    fn from(amount: Amount) -> i64 {
        amount.0
    }
}

impl Amount {
    /// Nothing.
    pub const ZERO: Amount = Amount(0);

    /// `n` whole units of the measure.
    pub const fn whole(n: i64) -> Amount {
        Amount(n * 1000)
    }

    /// Whether it is more than nothing and at most [`AMOUNT_MAX`].
    pub fn is_sensible(self) -> bool {
        self > Amount::ZERO && self <= AMOUNT_MAX
    }

    /// Whether it is a whole number of units, as jars and bags must be.
    pub fn is_whole(self) -> bool {
        self.0 % 1000 == 0
    }

    /// The smaller of two.
    pub fn at_most(self, other: Amount) -> Amount {
        self.min(other)
    }
}

impl std::ops::Add for Amount {
    type Output = Amount;
    fn add(self, other: Amount) -> Amount {
        Amount(self.0 + other.0)
    }
}

impl std::ops::Sub for Amount {
    type Output = Amount;
    fn sub(self, other: Amount) -> Amount {
        Amount(self.0 - other.0)
    }
}

impl std::ops::AddAssign for Amount {
    fn add_assign(&mut self, other: Amount) {
        self.0 += other.0;
    }
}

impl std::ops::SubAssign for Amount {
    fn sub_assign(&mut self, other: Amount) {
        self.0 -= other.0;
    }
}

impl std::iter::Sum for Amount {
    fn sum<I: Iterator<Item = Amount>>(parts: I) -> Amount {
        Amount(parts.map(|part| part.0).sum())
    }
}

impl std::fmt::Display for Amount {
    /// Plain decimal without trailing zeros: `2.5`, `7`, `-0.125`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let whole = self.0.unsigned_abs() / 1000;
        let rest = format!("{:03}", self.0.unsigned_abs() % 1000);
        match rest.trim_end_matches('0') {
            "" => write!(f, "{sign}{whole}"),
            digits => write!(f, "{sign}{whole}.{digits}"),
        }
    }
}

/// What an amount is counted in.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[schemars(transform = crate::trade::list_words)]
pub enum Measure {
    /// Avoirdupois pound.
    Lb,
    /// Kilogram.
    Kg,
    /// US cup.
    Cup,
    /// US liquid quart.
    Qt,
    /// Litre.
    L,
    /// Single fruit.
    Piece,
    /// Jar, of the size the product names.
    Jar,
    /// Freezer bag.
    Bag,
    /// Freezer tub.
    Tub,
}

impl Measure {
    /// Whether only whole units exist of it.
    pub fn is_counted(self) -> bool {
        matches!(
            self,
            Measure::Piece | Measure::Jar | Measure::Bag | Measure::Tub
        )
    }

    /// The short form people write: `lb`, `qt`, `jar`.
    pub fn symbol(self) -> &'static str {
        match self {
            Measure::Lb => "lb",
            Measure::Kg => "kg",
            Measure::Cup => "cup",
            Measure::Qt => "qt",
            Measure::L => "l",
            Measure::Piece => "piece",
            Measure::Jar => "jar",
            Measure::Bag => "bag",
            Measure::Tub => "tub",
        }
    }
}

/// `made` thousandths come out for every `from` thousandths taken: pears for quart jars are
/// `{ made: 1000, from: 2500 }`, one jar from 2.5 lb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ratio {
    /// Thousandths of the measure of the next step.
    pub made: i64,
    /// Thousandths of the measure of this step; more than zero.
    pub from: i64,
}

impl Ratio {
    /// One comes out for one taken.
    pub const ONE: Ratio = Ratio {
        made: 1000,
        from: 1000,
    };

    /// Nothing comes out.
    pub const NONE: Ratio = Ratio {
        made: 0,
        from: 1000,
    };

    /// Whether both sides are in range: `from` positive, `made` not negative, both at most a
    /// thousand units.
    pub fn is_sensible(self) -> bool {
        let largest = 1_000_000;
        self.from > 0 && self.from <= largest && self.made >= 0 && self.made <= largest
    }

    /// What comes out of `taken`, with the remainder of earlier conversions (in `1/from` of a
    /// thousandth) carried in and the new one given back: `taken * made + remainder` is exactly
    /// `out * from + new remainder`. What is beyond [`JSON_INTEGER_MAX`] is cut off there.
    pub fn convert(self, taken: Amount, remainder: i64) -> (Amount, i64) {
        let total = i128::from(taken.0) * i128::from(self.made) + i128::from(remainder);
        let from = i128::from(self.from);
        let out = total.div_euclid(from);
        let rest = total.rem_euclid(from);
        let most = i128::from(JSON_INTEGER_MAX);
        let out = i64::try_from(out.clamp(-most, most)).expect("clamped to what fits");
        let rest = i64::try_from(rest).expect("a remainder is below the divisor");
        (Amount(out), rest)
    }

    /// How much must be taken so that `out` comes out, rounded up.
    pub fn needed_for(self, out: Amount) -> Option<Amount> {
        if self.made == 0 {
            return None;
        }
        let total = i128::from(out.0) * i128::from(self.from);
        let made = i128::from(self.made);
        let taken = (total + made - 1).div_euclid(made);
        i64::try_from(taken).ok().map(Amount)
    }
}

/// Divides `whole` over `weights` in proportion, exactly: the parts sum to `whole`, the largest
/// remainders getting the last thousandths, earlier parts first on a tie.
pub fn apportion(whole: Amount, weights: &[Amount]) -> Vec<Amount> {
    let total: i128 = weights.iter().map(|weight| i128::from(weight.0)).sum();
    if total <= 0 {
        return weights.iter().map(|_| Amount::ZERO).collect();
    }
    let exact = |weight: &Amount| i128::from(whole.0) * i128::from(weight.0);
    let floor = |weight: &Amount| {
        i64::try_from(exact(weight).div_euclid(total)).expect("a part is no more than the whole")
    };
    let mut parts: Vec<Amount> = weights.iter().map(|weight| Amount(floor(weight))).collect();
    let given: Amount = parts.iter().copied().sum();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by_key(|&index| std::cmp::Reverse(exact(&weights[index]).rem_euclid(total)));
    let missing = usize::try_from((whole - given).0).expect("floors never exceed the whole");
    for &index in order.iter().take(missing) {
        parts[index] += Amount(1);
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_print_as_plain_decimals() {
        let shown = [2500, 7000, -125, 0, 1].map(|n| Amount(n).to_string());
        assert_eq!(shown, ["2.5", "7", "-0.125", "0", "0.001"]);
    }

    #[test]
    fn conversions_lose_nothing_over_many_carriers() {
        let third = Ratio {
            made: 1000,
            from: 3000,
        };
        let (mut out, mut rest) = (Amount::ZERO, 0);
        for _ in 0..3 {
            let (made, next) = third.convert(Amount(1000), rest);
            out += made;
            rest = next;
        }
        assert_eq!((out, rest), (Amount(1000), 0));
    }

    #[test]
    fn needed_is_the_least_that_suffices() {
        let ratio = Ratio {
            made: 1000,
            from: 2500,
        };
        assert_eq!(ratio.needed_for(Amount(7000)), Some(Amount(17_500)));
        assert_eq!(Ratio::NONE.needed_for(Amount(1)), None);
    }

    #[test]
    fn apportioned_parts_sum_to_the_whole() {
        let parts = apportion(Amount(100), &[Amount(1), Amount(1), Amount(1)]);
        assert_eq!(parts, [Amount(34), Amount(33), Amount(33)]);
    }
}
