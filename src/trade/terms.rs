//! The fixed words of the trade: methods, packs, jars and their like.
//!
//! For naming things one way everywhere: files, screens, JSON and code. Not for product names,
//! which are data. Invariant: `Display`, `FromStr` and serde all use the same kebab-case word, and
//! `Ord` follows the order of the lists (jars from small to large).

use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A word that is none of the fixed ones; says which words there are.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("unknown {kind} \"{asked}\"; use one of: {known}")]
pub struct UnknownTerm {
    kind: &'static str,
    asked: String,
    known: String,
}

/// Says the words of a schema as one list, with what each means in the description: a map whose
/// keys they are can then name them.
pub(crate) fn list_words(schema: &mut Schema) {
    let Some(Value::Array(words)) = schema.remove("oneOf") else {
        return;
    };
    let said = words.iter().filter_map(|word| {
        let (word, means) = (word["const"].as_str()?, word["description"].as_str()?);
        Some(format!("- `{word}`: {means}"))
    });
    let about = schema.get("description").and_then(Value::as_str);
    let lines: Vec<String> = about.map(str::to_owned).into_iter().chain(said).collect();
    let words = words.iter().map(|word| word["const"].clone());
    schema.insert("enum".to_owned(), words.collect());
    schema.insert("type".to_owned(), "string".into());
    schema.insert("description".to_owned(), lines.join("\n").into());
}

macro_rules! term {
    (
        $(#[$about:meta])* $name:ident, $kind:literal,
        $( $(#[$doc:meta])* $variant:ident = $word:literal ),+ $(,)?
    ) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[derive(Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "kebab-case")]
        #[schemars(transform = list_words)]
        pub enum $name { $( $(#[$doc])* $variant ),+ }

        impl $name {
            /// Every value, in order.
            pub const ALL: &'static [Self] = &[$( Self::$variant ),+];

            /// The fixed word, as written in files and JSON.
            pub const fn word(self) -> &'static str {
                match self { $( Self::$variant => $word ),+ }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.pad(self.word())
            }
        }

        impl FromStr for $name {
            type Err = UnknownTerm;

            fn from_str(asked: &str) -> Result<Self, UnknownTerm> {
                Self::ALL.iter().copied().find(|term| term.word() == asked).ok_or_else(|| {
                    let words: Vec<_> = Self::ALL.iter().map(|term| term.word()).collect();
                    UnknownTerm {
                        kind: $kind,
                        asked: asked.to_string(),
                        known: words.join(", "),
                    }
                })
            }
        }
    };
}

term! {
    /// How filled jars are heated.
    Method, "method",
    /// Covered by boiling water.
    BoilingWater = "boiling-water",
    /// In an atmospheric steam canner (acid food only).
    Steam = "steam",
    /// In a pressure canner with a dial gauge.
    PressureDial = "pressure-dial",
    /// In a pressure canner with a weighted gauge.
    PressureWeighted = "pressure-weighted",
}

impl Method {
    /// Whether the process has a pressure as well as a time.
    pub const fn is_pressure(self) -> bool {
        match self {
            Self::BoilingWater | Self::Steam => false,
            Self::PressureDial | Self::PressureWeighted => true,
        }
    }
}

term! {
    /// How the food goes into the jar.
    Pack, "pack",
    /// Cooked or heated first, filled hot.
    Hot = "hot",
    /// Filled raw and covered with hot liquid.
    Raw = "raw",
}

term! {
    /// The size of a jar, from small to large (US measures).
    Jar, "jar",
    /// 8 fluid ounces.
    HalfPint = "half-pint",
    /// 16 fluid ounces.
    Pint = "pint",
    /// 32 fluid ounces.
    Quart = "quart",
    /// 64 fluid ounces; tabled for apple and grape juice only.
    HalfGallon = "half-gallon",
}

term! {
    /// Where a row comes from.
    Confidence, "confidence",
    /// Its numbers were read in the named publication or a reproduction of it.
    Read = "read",
    /// It follows from read rows by the rule its source names.
    Derived = "derived",
    /// Not read; may never set a process.
    Memory = "memory",
}

term! {
    /// Which of two published pressures for one product a table holds; minutes and pressure of
    /// one option are never used with the other's.
    PressureOption, "option",
    /// The longer process at the lower pressure.
    LowerPressure = "lower-pressure",
    /// The shorter process at the higher pressure.
    HigherPressure = "higher-pressure",
}

term! {
    /// What surrounds the fruit in a freezer container.
    FreezerPack, "freezer pack",
    /// Fruit in juice, sugar, syrup or water; crushed fruit or puree.
    Liquid = "liquid",
    /// Fruit or vegetables with nothing added.
    Dry = "dry",
    /// Juice alone.
    Juice = "juice",
}

term! {
    /// The width of a freezer container's top.
    Mouth, "mouth",
    /// Tall or slightly flared sides.
    Wide = "wide",
    /// A neck narrower than the body.
    Narrow = "narrow",
}
