//! Whether the numbers of a file make sense.

use super::{Misread, NumberForm};
use crate::sim::{Law, Uncertain};

/// A law whose numbers make sense.
pub(super) fn law(law: &Law, place: &str) -> Result<Law, Misread> {
    let list = |times: &[f64]| match times.is_empty() {
        true => Err(Misread::new(
            format!("{place} is an empty list."),
            "Give at least one number of minutes.",
        )),
        false => times
            .iter()
            .try_for_each(|minutes| not_below_0(*minutes, place).map(|_| ())),
    };
    match law {
        Law::Deterministic(minutes) => not_below_0(*minutes, place).map(|_| ())?,
        Law::Exponential(mean) => above_0(*mean, place).map(|_| ())?,
        Law::Gamma { mean, shape } => {
            above_0(*mean, place)?;
            above_0(*shape, &format!("{place}: the shape"))?;
        }
        Law::Lognormal { mean, cv } => {
            above_0(*mean, place)?;
            above_0(*cv, &format!("{place}: the cv"))?;
        }
        Law::Empirical(times) | Law::Sequence(times) => list(times)?,
        Law::Sum(parts) => parts
            .iter()
            .try_for_each(|part| self::law(part, place).map(|_| ()))?,
    }
    Ok(law.clone())
}

/// An uncertain number whose parts make sense; learned ones are for helpers.
pub(super) fn number(form: &NumberForm, place: &str) -> Result<Uncertain, Misread> {
    Ok(match form {
        NumberForm::Known(number) => Uncertain::Known(above_0(*number, place)?),
        NumberForm::Gamma(shape, rate) => Uncertain::Gamma {
            shape: above_0(*shape, place)?,
            rate: above_0(*rate, place)?,
        },
        NumberForm::Lognormal { median, sigma } => Uncertain::Lognormal {
            median: above_0(*median, place)?,
            sigma: not_below_0(*sigma, place)?,
        },
        NumberForm::Learned(_) | NumberForm::LearnedSpeed(_) => {
            return Err(Misread::new(
                format!("{place} cannot be learned."),
                "Only the rate and the speed of a helper are learned.",
            ));
        }
    })
}

/// A number above 0.
pub(super) fn above_0(number: f64, place: &str) -> Result<f64, Misread> {
    match number.is_finite() && number > 0.0 {
        true => Ok(number),
        false => Err(Misread::new(
            format!("{place} is {number}."),
            "Give a number above 0.",
        )),
    }
}

/// A number that is 0 or more.
pub(super) fn not_below_0(number: f64, place: &str) -> Result<f64, Misread> {
    match number.is_finite() && number >= 0.0 {
        true => Ok(number),
        false => Err(Misread::new(
            format!("{place} is {number}."),
            "Give a number that is not below 0.",
        )),
    }
}
