//! Pounds of fruit that a quart really took, against the published figures.
//!
//! Real is what the boxes held less what still stands, left its route or went back, by what the
//! route promises of it, for the quarts that were filled. Where nobody counted or measured, that is
//! the plan's own yield. Only products that come out of boxes of pounds or kilograms, on a route of
//! their own, can be told.

use super::figures::Made;
use super::flow::packages_of_one;
use crate::day::amount::{Amount, Measure};
use crate::day::ids::ProductId;
use crate::day::plan::{Ending, Product};
use crate::day::state::State;
use crate::trade::{self, Jar};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// Pounds in a kilogram: a pound is 0.45359237 kg (the international yard and pound agreement of
/// 1959; NIST Handbook 44, Appendix C).
const LB_IN_KG: f64 = 1.0 / 0.453_592_37;

/// The yield of a product.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FruitTold {
    /// Pounds that came out of boxes.
    pub opened_lb: f64,
    /// Of these, pounds that became packages.
    pub used_lb: f64,
    /// Quarts that were filled.
    pub quarts: f64,
    /// `used_lb / quarts`.
    pub lb_per_quart: f64,
    /// What the plan's route promises.
    pub planned_lb_per_quart: f64,
    /// Whether a count or a measured pot moved it off the plan.
    pub measured: bool,
    /// What is published for it, each with its source.
    pub published: Vec<Published>,
}

/// A published yield.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Published {
    /// Fewest pounds a quart.
    pub low: f64,
    /// Most pounds a quart.
    pub high: f64,
    /// Publication and section.
    pub source: &'static str,
    /// Whether the source was read, as the trade's sheets say.
    pub confidence: trade::Confidence,
}

/// Tells of every product that can be told.
pub(super) fn told(
    state: &State,
    made: &BTreeMap<ProductId, Made>,
) -> BTreeMap<ProductId, FruitTold> {
    let one = |(id, made): (&ProductId, &Made)| {
        let plan = &state.products.get(id)?.plan;
        Some((id.clone(), fruit(state, id, plan, made)?))
    };
    made.iter().filter_map(one).collect()
}

fn fruit(state: &State, id: &ProductId, plan: &Product, made: &Made) -> Option<FruitTold> {
    let first = plan.route.first()?;
    let lb = match first.measure {
        Measure::Lb => 1.0,
        Measure::Kg => LB_IN_KG,
        _ => return None,
    };
    let quarts_each = quarts_of(&plan.ends_in)?;
    let packed = packages_of_one(state, id, &first.station)?;
    if packed <= 0.0 {
        return None;
    }
    let is_own = |flow: &crate::day::flow::Flow, first: bool| {
        let other = flow.arrived.diverted + flow.arrived.carried;
        other == Amount::ZERO && (first || flow.arrived.opened == Amount::ZERO)
    };
    let (mut opened, mut gone, mut measured) = (0.0, 0.0, false);
    for step in &plan.route {
        if !step.onward.is_empty() {
            return None;
        }
        let here = packages_of_one(state, id, &step.station)?;
        let is_package = step.measure == plan.ends_in.package()?;
        for (_, flow) in state.lots_at(&step.station, id).into_iter().flatten() {
            if !is_own(flow, step.station == first.station) {
                return None;
            }
            opened += number(flow.arrived.opened);
            measured |= flow.recounted != Amount::ZERO || flow.made != flow.promised;
            if !is_package {
                let off = [flow.diverted, flow.scrapped, flow.sent_back];
                let off = off.into_iter().sum::<Amount>() - flow.arrived.sent_back;
                gone += number(flow.waiting() + flow.inside + off) * here;
            }
        }
    }
    let quarts = number(made.made.0) * quarts_each;
    let used = (opened - gone / packed) * lb;
    if quarts <= 0.0 || used <= 0.0 {
        return None;
    }
    Some(FruitTold {
        opened_lb: opened * lb,
        used_lb: used,
        quarts,
        lb_per_quart: used / quarts,
        planned_lb_per_quart: lb / (packed * quarts_each),
        measured,
        published: published(plan),
    })
}

fn number(amount: Amount) -> f64 {
    amount.0 as f64 / 1000.0
}

/// Quarts in a package; `None` where a package has no known size.
fn quarts_of(ends_in: &Ending) -> Option<f64> {
    let Ending::Canned { jar, .. } = ends_in else {
        return None;
    };
    let quarts = match jar {
        Jar::HalfPint => 0.25,
        Jar::Pint => 0.5,
        Jar::Quart => 1.0,
        Jar::HalfGallon => 2.0,
    };
    Some(quarts)
}

fn published(plan: &Product) -> Vec<Published> {
    let Ending::Canned { food, .. } = &plan.ends_in else {
        return Vec::new();
    };
    let food = trade::product(food).map(|product| product.name.as_str());
    let of_food = |row: &&trade::Yield| !row.frozen && row.product.as_deref() == food;
    let all = trade::yields().iter().filter(of_food);
    let told = all.filter_map(|row| {
        let (low, high) = row.pounds_per_quart?;
        Some(Published {
            low: f64::from(low) / 100.0,
            high: f64::from(high) / 100.0,
            source: &row.source,
            confidence: row.confidence,
        })
    });
    told.collect()
}
