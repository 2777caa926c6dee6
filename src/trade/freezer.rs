//! Headspace in freezer containers, as published.
//!
//! For telling the person who fills tubs and jars how much room ice needs. Not for canning, whose
//! headspace belongs to the tested process. Invariant: a size without a published number gets no
//! number.

use std::collections::BTreeMap;

use super::faults::Gathered;
use super::measure::sixty_fourths;
use super::numbers::Sourced;
use super::rule_sheet::{RULES, Rule};
use super::sheets::facts;
use super::terms::{FreezerPack, Jar, Mouth};

/// Ids of the rules this module reads.
const IDS: [&str; 8] = [
    "fz-liq-wide-pt",
    "fz-liq-wide-qt",
    "fz-liq-nar-pt",
    "fz-liq-nar-qt",
    "fz-dry",
    "fz-juice-wide-pt",
    "fz-juice-wide-qt",
    "fz-juice-nar",
];

/// Headspaces in 64ths of an inch, by the id of their rule.
#[derive(Debug, Clone, Default)]
pub(super) struct Headspaces(BTreeMap<&'static str, u32>);

impl Headspaces {
    pub(super) fn from_rules(rules: &BTreeMap<String, Rule>, faults: &mut Gathered) -> Self {
        let mut headspaces = BTreeMap::new();
        for id in IDS {
            match rules.get(id).and_then(|rule| sixty_fourths(&rule.value)) {
                Some(amount) => {
                    headspaces.insert(id, amount);
                }
                None => faults.file(
                    RULES,
                    format!("the rule \"{id}\" must be there with inches such as 0.75"),
                ),
            }
        }
        Self(headspaces)
    }
}

/// Freezer headspace in 64ths of an inch for a pack, a mouth and a container size; `None` when no
/// number is published (source: NCHFP Headspace to allow, rules `fz-*`).
pub fn freezer_headspace(pack: FreezerPack, mouth: Mouth, jar: Jar) -> Option<Sourced<u32>> {
    let id = match (pack, mouth, jar) {
        (FreezerPack::Dry, Mouth::Wide | Mouth::Narrow, _) => "fz-dry",
        (FreezerPack::Liquid, Mouth::Wide, Jar::Pint) => "fz-liq-wide-pt",
        (FreezerPack::Liquid, Mouth::Wide, Jar::Quart) => "fz-liq-wide-qt",
        (FreezerPack::Liquid, Mouth::Narrow, Jar::Pint) => "fz-liq-nar-pt",
        (FreezerPack::Liquid, Mouth::Narrow, Jar::Quart) => "fz-liq-nar-qt",
        (FreezerPack::Juice, Mouth::Wide, Jar::Pint) => "fz-juice-wide-pt",
        (FreezerPack::Juice, Mouth::Wide, Jar::Quart) => "fz-juice-wide-qt",
        (FreezerPack::Juice, Mouth::Narrow, Jar::Pint | Jar::Quart) => "fz-juice-nar",
        (FreezerPack::Liquid | FreezerPack::Juice, _, Jar::HalfPint | Jar::HalfGallon) => {
            return None;
        }
    };
    let facts = facts();
    let value = *facts.freezer.0.get(id)?;
    Some(Sourced {
        value,
        source: &facts.rules.get(id)?.source,
    })
}
