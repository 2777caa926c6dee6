//! What to gather and look over the day before, made from the day's plan.
//!
//! A function of the state alone: the jars, lids, acid, labels, tools and checks that the products
//! wanted and the canners set up call for, each with the rule of the trade it follows where there
//! is one. What was counted or ticked off stands beside it. Not a recipe and not a stock: the day's
//! supplies have their own orders. Invariant: the list is in the same order every time, and no id
//! stands in it twice.

mod canning;
mod freezing;
mod from_plan;

use super::amount::Amount;
use super::ids::HelperId;
use super::plan::Product;
use super::state::State;
use super::time::Timestamp;
use crate::trade::{self, Jar};
use schemars::JsonSchema;
use serde::Serialize;

/// Spare lids and packages for every hundred wanted. Common practice, no source: some buckle, tear
/// or are dropped.
const SPARE_PERCENT: i64 = 10;

/// What kind of thing it is; screens have the words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "GatherKind")]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words say it")]
pub enum ItemKind {
    Altitude,
    Recipe,
    Fruit,
    Jars,
    Lids,
    Bands,
    Acid,
    AgainstDarkening,
    Packages,
    Supply,
    Labels,
    Canner,
    DialGauge,
    WeightedGauge,
    SteamCanner,
    JarLifter,
    HeadspaceRuler,
    BubbleTool,
    RimCloths,
    CannerThermometer,
    CoolingPlace,
    FreezerCold,
    FreezerRoom,
    FirstAid,
}

/// One thing to gather or to look over.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "GatherItem")]
pub struct Item {
    /// Its id; the same for the same thing of the same plan.
    pub id: String,
    /// What kind of thing it is.
    pub kind: ItemKind,
    /// What the plan calls it: the product, the canner, the supply, the lot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The size, of jars.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub jar: Option<Jar>,
    /// What it is counted in: a measure's symbol, or the supply's own word. Absent for what is
    /// ticked, not counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// How much the plan needs, spare ones among it, in thousandths of the unit. Absent where the
    /// plan does not say how much is wanted: then it is ticked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub need: Option<Amount>,
    /// Of that, what is spare.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare: Option<Amount>,
    /// What each jar gets, of acid; the altitude in feet, of the altitude.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
    /// The rule it follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<RuleSaid>,
    /// What was counted, or 1 for ticked; absent until somebody looked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub have: Option<Amount>,
    /// Who looked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub helper: Option<HelperId>,
    /// When.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Timestamp>,
}

/// A rule of the trade as it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct RuleSaid {
    /// Its id.
    pub id: &'static str,
    /// The rule in a sentence or two.
    pub says: &'static str,
    /// Publication and section.
    pub source: &'static str,
}

impl Item {
    /// A thing to tick.
    fn tick(id: impl Into<String>, kind: ItemKind) -> Item {
        Item {
            id: id.into(),
            kind,
            name: None,
            jar: None,
            unit: None,
            need: None,
            spare: None,
            detail: None,
            rule: None,
            have: None,
            helper: None,
            at: None,
        }
    }

    /// A thing to count, as many as are wanted; to tick when that is not known.
    fn count(id: impl Into<String>, kind: ItemKind, unit: &str, wanted: Option<Amount>) -> Item {
        Item {
            unit: wanted.map(|_| unit.to_owned()),
            need: wanted,
            ..Item::tick(id, kind)
        }
    }

    /// The same with spare ones on top, in whole ones.
    fn with_spare(mut self) -> Item {
        let spare = self.need.map(spare_of);
        self.need = self.need.zip(spare).map(|(need, spare)| need + spare);
        self.spare = spare;
        self
    }

    fn named(mut self, name: &str) -> Item {
        self.name = Some(name.to_owned());
        self
    }

    /// The same under a rule of the trade whose source was read; others are not shown as rules.
    fn by_rule(mut self, id: &str) -> Item {
        self.rule = trade::rule(id)
            .filter(|rule| rule.confidence == trade::Confidence::Read)
            .map(|rule| RuleSaid {
                id: &rule.id,
                says: &rule.statement,
                source: &rule.source,
            });
        self
    }

    /// How much of it is missing: `None` while nobody has looked, nothing when there is enough.
    pub fn missing(&self) -> Option<Amount> {
        let need = self.need.unwrap_or(Amount::whole(1));
        self.have.map(|have| (need - have).max(Amount::ZERO))
    }
}

/// Spare ones for so many wanted: ten in a hundred, rounded up to whole ones.
fn spare_of(wanted: Amount) -> Amount {
    let thousandths = wanted.0.saturating_mul(SPARE_PERCENT);
    Amount::whole(thousandths.div_euclid(100_000) + i64::from(thousandths % 100_000 != 0))
}

/// The products that are still to be made.
fn products(state: &State) -> impl Iterator<Item = (&super::ids::ProductId, &Product)> {
    let listed = state
        .products
        .iter()
        .filter(|(_, product)| !product.retired);
    listed.map(|(id, product)| (id, &product.plan))
}

/// The sum of what is wanted; `None` if one of them does not say.
fn wanted<'a>(products: impl Iterator<Item = &'a Product>) -> Option<Amount> {
    products
        .map(|product| product.wanted)
        .try_fold(Amount::ZERO, |sum, wanted| Some(sum + wanted?))
}

/// The whole list, with what was counted of it.
pub fn gather(state: &State) -> Vec<Item> {
    let mut list = Vec::new();
    list.extend(from_plan::items(state));
    list.extend(canning::items(state));
    list.extend(freezing::items(state));
    list.extend(from_plan::labels(state));
    list.push(Item::tick("first-aid", ItemKind::FirstAid));
    for item in &mut list {
        if let Some(found) = state.gathered.get(&item.id) {
            item.have = Some(found.have);
            item.helper.clone_from(&found.helper);
            item.at = Some(found.at);
        }
    }
    list
}

/// Whether the list has this thing.
pub(super) fn lists(state: &State, id: &str) -> bool {
    gather(state).iter().any(|item| item.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spare_ones_are_ten_in_a_hundred_in_whole_ones() {
        for (wanted, spare) in [
            (0, 0),
            (1, 1),
            (10, 1),
            (11, 2),
            (40, 4),
            (41, 5),
            (100, 10),
        ] {
            assert_eq!(
                spare_of(Amount::whole(wanted)),
                Amount::whole(spare),
                "{wanted}"
            );
        }
    }
}
