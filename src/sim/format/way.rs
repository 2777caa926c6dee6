//! Where work goes after a step, as a file says it.

use std::fmt;

use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, Error, MapAccess, Visitor};

/// Out, to a step, or by one of the named rules.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum WayForm {
    /// It is finished.
    #[default]
    Out,
    /// To a step.
    To(String),
    /// Each carrier by chance.
    Chances(Vec<ChanceForm>),
    /// In fixed shares.
    Shares(Vec<ShareForm>),
    /// Into a supply.
    Feeds(String),
}

/// One way by chance.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChanceForm {
    /// Probability.
    pub chance: f64,
    /// A step, or "out".
    pub to: String,
}

/// One way by weight.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShareForm {
    /// Weight.
    pub weight: f64,
    /// A step.
    pub to: String,
}

/// The object form.
#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum NamedWay {
    Chances(Vec<ChanceForm>),
    Shares(Vec<ShareForm>),
    Feeds(String),
}

struct WayVisitor;

impl<'de> Visitor<'de> for WayVisitor {
    type Value = WayForm;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("\"out\", the name of a station, or {\"chances\": [...]}")
    }

    fn visit_str<E: Error>(self, to: &str) -> Result<WayForm, E> {
        Ok(match to {
            "out" => WayForm::Out,
            name => WayForm::To(name.to_owned()),
        })
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<WayForm, A::Error> {
        let named = NamedWay::deserialize(MapAccessDeserializer::new(map))?;
        Ok(match named {
            NamedWay::Chances(ways) => WayForm::Chances(ways),
            NamedWay::Shares(ways) => WayForm::Shares(ways),
            NamedWay::Feeds(supply) => WayForm::Feeds(supply),
        })
    }
}

impl<'de> Deserialize<'de> for WayForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(WayVisitor)
    }
}
