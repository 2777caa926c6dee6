//! Numbers that may also be laws: a plain number, or an object that names one.

use std::fmt;
use std::marker::PhantomData;

use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, Error, MapAccess, Visitor};

use super::learned::{LearnedRate, LearnedSpeed};
use crate::sim::Law;

/// A type that a plain number stands for as well.
trait FromNumber {
    /// What a reader may write, for the message when it is neither.
    const MAY_BE: &'static str;
    fn from_number(number: f64) -> Self;
}

/// Reads a number or an object.
fn number_or<'de, T, Form, D>(deserializer: D) -> Result<T, D::Error>
where
    T: FromNumber + From<Form>,
    Form: Deserialize<'de>,
    D: Deserializer<'de>,
{
    struct Either<T, Form>(PhantomData<(T, Form)>);
    impl<'de, T: FromNumber + From<Form>, Form: Deserialize<'de>> Visitor<'de> for Either<T, Form> {
        type Value = T;
        fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
            formatter.write_str(T::MAY_BE)
        }
        fn visit_f64<E: Error>(self, number: f64) -> Result<T, E> {
            Ok(T::from_number(number))
        }
        fn visit_u64<E: Error>(self, number: u64) -> Result<T, E> {
            Ok(T::from_number(number as f64))
        }
        fn visit_i64<E: Error>(self, number: i64) -> Result<T, E> {
            Ok(T::from_number(number as f64))
        }
        fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<T, A::Error> {
            Form::deserialize(MapAccessDeserializer::new(map)).map(T::from)
        }
    }
    deserializer.deserialize_any(Either(PhantomData))
}

/// A service or arrival law, in minutes. A plain number is always that long.
#[derive(Debug, Clone, PartialEq)]
pub struct LawForm(pub Law);

/// The object form of a law.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum NamedLaw {
    Deterministic(f64),
    Exponential(f64),
    Gamma { mean: f64, shape: f64 },
    Lognormal { mean: f64, cv: f64 },
    Empirical(Vec<f64>),
    Sequence(Vec<f64>),
    Sum(Vec<LawForm>),
}

impl FromNumber for LawForm {
    const MAY_BE: &'static str = "a number of minutes, or a law such as {\"exponential\": 2.5}";
    fn from_number(number: f64) -> Self {
        Self(Law::Deterministic(number))
    }
}

impl From<NamedLaw> for LawForm {
    fn from(named: NamedLaw) -> Self {
        Self(match named {
            NamedLaw::Deterministic(minutes) => Law::Deterministic(minutes),
            NamedLaw::Exponential(mean) => Law::Exponential(mean),
            NamedLaw::Gamma { mean, shape } => Law::Gamma { mean, shape },
            NamedLaw::Lognormal { mean, cv } => Law::Lognormal { mean, cv },
            NamedLaw::Empirical(times) => Law::Empirical(times),
            NamedLaw::Sequence(times) => Law::Sequence(times),
            NamedLaw::Sum(parts) => Law::Sum(parts.into_iter().map(|part| part.0).collect()),
        })
    }
}

impl<'de> Deserialize<'de> for LawForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        number_or::<Self, NamedLaw, D>(deserializer)
    }
}

/// A number that may be uncertain; it is drawn once a run.
#[derive(Debug, Clone, PartialEq)]
pub enum NumberForm {
    /// Known.
    Known(f64),
    /// Gamma with shape and rate; its mean is shape / rate.
    Gamma(f64, f64),
    /// Lognormal with median and the standard deviation of the logarithm.
    Lognormal {
        /// Median.
        median: f64,
        /// Standard deviation of the logarithm.
        sigma: f64,
    },
    /// A rate learned from what was seen.
    Learned(LearnedRate),
    /// A factor on all rates of one helper, learned over several stations.
    LearnedSpeed(LearnedSpeed),
}

/// The object form of an uncertain number.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum NamedNumber {
    Gamma(f64, f64),
    Lognormal { median: f64, sigma: f64 },
    Learned(LearnedRate),
    LearnedSpeed(LearnedSpeed),
}

impl FromNumber for NumberForm {
    const MAY_BE: &'static str = "a number, or an uncertain one such as {\"gamma\": [10, 30]}";
    fn from_number(number: f64) -> Self {
        Self::Known(number)
    }
}

impl From<NamedNumber> for NumberForm {
    fn from(named: NamedNumber) -> Self {
        match named {
            NamedNumber::Gamma(shape, rate) => Self::Gamma(shape, rate),
            NamedNumber::Lognormal { median, sigma } => Self::Lognormal { median, sigma },
            NamedNumber::Learned(learned) => Self::Learned(learned),
            NamedNumber::LearnedSpeed(learned) => Self::LearnedSpeed(learned),
        }
    }
}

impl<'de> Deserialize<'de> for NumberForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        number_or::<Self, NamedNumber, D>(deserializer)
    }
}

impl Default for NumberForm {
    fn default() -> Self {
        Self::Known(1.0)
    }
}
