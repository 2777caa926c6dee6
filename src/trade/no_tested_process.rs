//! Why there is no tested process for what was asked, and what to do instead.
//!
//! For refusing in words a cook can act on. Not for faults of the sheets. Invariant: every refusal
//! has a code, a sentence and something to do, and never offers an untested number.

use std::fmt;

use super::altitude::HIGHEST_ALTITUDE_FT;
use super::terms::{Jar, Method, Pack};

/// A refusal: no tested process covers what was asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoTestedProcess {
    /// The name is no product or alias here.
    UnknownProduct {
        /// The name asked for.
        asked: String,
        /// Names that exist and look like it; may be empty.
        near: Vec<String>,
    },
    /// The product is refused by name.
    RefusedProduct {
        /// The name it is refused under.
        product: String,
        /// Why.
        why: String,
        /// What to do instead.
        instead: String,
        /// Publication and section.
        source: String,
    },
    /// The product has no process by this method.
    MethodNotTabled {
        /// The product's one name.
        product: String,
        /// The method asked for.
        method: Method,
        /// The methods that are tabled.
        tabled: Vec<Method>,
        /// Whether the food is low-acid, so that only pressure makes it safe.
        low_acid: bool,
    },
    /// The product has no process with this pack by this method.
    PackNotTabled {
        /// The product's one name.
        product: String,
        /// The method asked for.
        method: Method,
        /// The pack asked for.
        pack: Pack,
        /// The packs that are tabled.
        tabled: Vec<Pack>,
    },
    /// The product has no process in this jar with this pack by this method.
    JarNotTabled {
        /// The product's one name.
        product: String,
        /// The method asked for.
        method: Method,
        /// The pack asked for.
        pack: Pack,
        /// The jar asked for.
        jar: Jar,
        /// The jars that are tabled.
        tabled: Vec<Jar>,
    },
    /// The altitude lies outside the table.
    AltitudeOutsideTable {
        /// The product's one name.
        product: String,
        /// The method asked for.
        method: Method,
        /// The altitude asked for, in feet.
        altitude_ft: i32,
        /// The highest altitude of the table, in feet; `None` when it has no upper end.
        top_ft: Option<i32>,
    },
    /// The altitude is higher than any home: most likely a slip.
    AltitudeNotBelievable {
        /// The altitude asked for, in feet.
        altitude_ft: i32,
    },
}

impl NoTestedProcess {
    /// A fixed kebab-case code for programs.
    pub fn code(&self) -> &'static str {
        match self {
            Self::UnknownProduct { .. } => "unknown-product",
            Self::RefusedProduct { .. } => "refused-product",
            Self::MethodNotTabled { .. } => "method-not-tabled",
            Self::PackNotTabled { .. } => "pack-not-tabled",
            Self::JarNotTabled { .. } => "jar-not-tabled",
            Self::AltitudeOutsideTable { .. } => "altitude-outside-table",
            Self::AltitudeNotBelievable { .. } => "altitude-not-believable",
        }
    }

    /// What to do instead, in one or two sentences.
    pub fn instead(&self) -> String {
        let ask = "Ask your local extension service for a tested recipe.";
        match self {
            Self::UnknownProduct { near, .. } if near.is_empty() => {
                format!("See the list of tested products, or freeze it. {ask}")
            }
            Self::UnknownProduct { near, .. } => {
                format!(
                    "If you meant one of these, use its name: {}. {ask}",
                    near.join(", ")
                )
            }
            Self::RefusedProduct { instead, .. } => format!("{instead} {ask}"),
            Self::MethodNotTabled { tabled, .. } => {
                format!("Tabled methods: {}. {ask}", words(tabled))
            }
            Self::PackNotTabled { tabled, .. } => {
                format!("Tabled packs for this method: {}. {ask}", words(tabled))
            }
            Self::JarNotTabled { tabled, .. } => {
                format!(
                    "Tabled jars: {}; never use a larger one. {ask}",
                    words(tabled)
                )
            }
            Self::AltitudeOutsideTable { altitude_ft, .. } if *altitude_ft < 0 => {
                format!("Check the altitude; the tables start at sea level, 0 ft. {ask}")
            }
            Self::AltitudeOutsideTable { method, .. } => outside_table(*method, ask),
            Self::AltitudeNotBelievable { .. } => {
                "Check the altitude and whether it is in feet or metres.".to_string()
            }
        }
    }
}

fn outside_table(method: Method, ask: &str) -> String {
    match method {
        Method::Steam => {
            format!("Use a boiling-water canner; steam is for shorter processes only. {ask}")
        }
        Method::BoilingWater | Method::PressureDial | Method::PressureWeighted => {
            format!("Use a method tabled for your altitude, or freeze it. {ask}")
        }
    }
}

fn covered(top_ft: Option<i32>) -> String {
    top_ft.map_or("0 ft and above".to_string(), |top| format!("0 to {top} ft"))
}

fn words<Term: fmt::Display>(terms: &[Term]) -> String {
    let words: Vec<_> = terms.iter().map(Term::to_string).collect();
    if words.is_empty() {
        "none".to_string()
    } else {
        words.join(", ")
    }
}

impl fmt::Display for NoTestedProcess {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownProduct { asked, .. } => {
                write!(out, "There is no tested process here for \"{asked}\".")
            }
            Self::RefusedProduct {
                product,
                why,
                source,
                ..
            } => {
                write!(out, "Do not can {product}: {why} ({source}).")
            }
            Self::MethodNotTabled {
                product,
                method,
                low_acid: true,
                ..
            } => write!(
                out,
                "There is no {method} process for {product}: it is low-acid, and only a \
                 pressure canner makes it safe."
            ),
            Self::MethodNotTabled {
                product,
                method,
                low_acid: false,
                ..
            } => {
                write!(out, "There is no tested {method} process for {product}.")
            }
            Self::PackNotTabled {
                product,
                method,
                pack,
                ..
            } => {
                write!(
                    out,
                    "There is no tested {method} process for {product} with a {pack} pack."
                )
            }
            Self::JarNotTabled {
                product,
                method,
                pack,
                jar,
                ..
            } => write!(
                out,
                "There is no tested {method} process for {product} ({pack} pack) in a {jar} jar."
            ),
            Self::AltitudeOutsideTable {
                product,
                method,
                altitude_ft,
                top_ft,
            } => {
                let covered = covered(*top_ft);
                write!(
                    out,
                    "The {method} table for {product} covers {covered}, not {altitude_ft} ft."
                )
            }
            Self::AltitudeNotBelievable { altitude_ft } => write!(
                out,
                "An altitude of {altitude_ft} ft is not believed; the limit is \
                 {HIGHEST_ALTITUDE_FT} ft."
            ),
        }
    }
}

impl std::error::Error for NoTestedProcess {}
