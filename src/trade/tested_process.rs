//! The answer to one question: how long, at what pressure, with what headspace and acid.
//!
//! For whoever loads a canner or writes the answer down. Not a recipe; the recipe has the rest.
//! Invariant: its numbers are those of one published row, and `source` names that row.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::terms::{Jar, Method, Pack};

/// One tested process at one altitude.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct TestedProcess {
    /// The product's one name.
    pub product: String,
    /// How the jars are heated.
    pub method: Method,
    /// How the food goes into the jar.
    pub pack: Pack,
    /// The jar asked for.
    pub jar: Jar,
    /// The altitude asked for, in feet.
    pub altitude_ft: i32,
    /// Minutes of processing at that altitude.
    pub minutes: u32,
    /// Pounds per square inch at that altitude; only for pressure canners.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub psi: Option<u32>,
    /// Headspace in 64ths of an inch.
    pub headspace_64ths: u32,
    /// The acid each jar gets; `None` when none is needed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub acid: Option<String>,
    /// Whether the empty jars are sterilised first (rule `sterilise-when`).
    pub sterilise_jars: bool,
    /// Publication and section, any rule used, and what was decided where sources differ.
    pub source: String,
}

impl TestedProcess {
    /// Headspace in inches, for display and JSON only.
    pub fn headspace_in(&self) -> f64 {
        f64::from(self.headspace_64ths) / 64.0
    }
}
