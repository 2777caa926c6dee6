//! What the plan itself names: its height, its fruit, its supplies, and a label for each package.

use super::{Item, ItemKind, products, wanted};
use crate::day::amount::{Amount, Measure};
use crate::day::ids::SupplyId;
use crate::day::plan::{Ending, Product};
use crate::day::state::State;
use crate::trade;
use std::collections::{BTreeMap, BTreeSet};

/// Supplies of these units are the jars, lids and packages that the list counts by itself.
const COUNTED_BY_PACKAGE: [&str; 5] = ["jar", "lid", "band", "bag", "tub"];

pub(super) fn items(state: &State) -> Vec<Item> {
    let mut list = Vec::new();
    if products(state).any(|(_, product)| matches!(product.ends_in, Ending::Canned { .. })) {
        let mut altitude =
            Item::tick("altitude", ItemKind::Altitude).by_rule("alt-time-vs-pressure");
        altitude.detail = state.altitude_ft.map(|feet| feet.to_string());
        list.push(altitude);
    }
    for (id, lot) in state.lots.iter().filter(|(_, lot)| !lot.retired) {
        let plan = &lot.plan;
        // Jars that come up from the cellar to be washed are counted by their size.
        if plan.measure == Measure::Jar {
            continue;
        }
        let unit = plan.measure.symbol();
        let item = Item::count(
            format!("fruit-{id}"),
            ItemKind::Fruit,
            unit,
            Some(plan.amount),
        );
        list.push(item.named(&plan.name));
    }
    list.extend(against_darkening(state));
    list.extend(supplies(state));
    list
}

/// One tick for ascorbic acid where any fruit of the day darkens when it is cut.
fn against_darkening(state: &State) -> Option<Item> {
    let darkens = |name: &String| {
        let found = trade::produce()
            .iter()
            .find(|produce| produce.name == *name);
        found.is_some_and(|produce| produce.darkens.is_some())
    };
    let fruit: BTreeSet<&String> = products(state)
        .flat_map(|(_, product)| product.all_produce())
        .filter(|name| darkens(name))
        .collect();
    if fruit.is_empty() {
        return None;
    }
    let names: Vec<&str> = fruit.into_iter().map(String::as_str).collect();
    let item = Item::tick("against-darkening", ItemKind::AgainstDarkening);
    Some(item.named(&names.join(", ")).by_rule("darken"))
}

/// The supplies of the board, as much as the packages wanted will draw; where nothing says how much
/// that is, as much as the plan begins with. What the day itself makes is not gathered.
fn supplies(state: &State) -> Vec<Item> {
    let drawn = drawn(state);
    let made: BTreeSet<&SupplyId> = products(state)
        .filter_map(|(_, product)| match &product.ends_in {
            Ending::Stocked { supply, .. } => Some(supply),
            Ending::Canned { .. }
            | Ending::Frozen { .. }
            | Ending::Fresh { .. }
            | Ending::Shared {} => None,
        })
        .collect();
    let listed = state.supplies.iter().filter(|(id, supply)| {
        let unit = supply.plan.unit.as_str();
        !supply.retired && !made.contains(id) && !COUNTED_BY_PACKAGE.contains(&unit)
    });
    listed
        .map(|(id, supply)| {
            let plan = &supply.plan;
            let need = drawn.get(id).copied().unwrap_or(plan.stock);
            let item = Item::count(
                format!("supply-{id}"),
                ItemKind::Supply,
                &plan.unit,
                (need > Amount::ZERO).then_some(need),
            );
            item.named(&plan.name)
        })
        .collect()
}

/// What the packages wanted draw from each supply.
fn drawn(state: &State) -> BTreeMap<&SupplyId, Amount> {
    let mut sum: BTreeMap<&SupplyId, Amount> = BTreeMap::new();
    for (_, product) in products(state) {
        for (supply, amount) in drawn_by(product) {
            *sum.entry(supply).or_default() += amount;
        }
    }
    sum
}

/// What one product draws on its own route, reckoned backwards from the packages wanted. A step
/// whose way splits ends the reckoning: nobody knows yet what share of it will be this.
fn drawn_by(product: &Product) -> Vec<(&SupplyId, Amount)> {
    let mut draws = Vec::new();
    let Some(mut goes_on) = product.wanted else {
        return draws;
    };
    for step in product.route.iter().rev() {
        if !step.onward.is_empty() {
            break;
        }
        let share = |each: Amount| {
            let thousandths = i128::from(each.0) * i128::from(goes_on.0);
            i64::try_from(thousandths / 1000 + i128::from(thousandths % 1000 != 0)).map(Amount)
        };
        for (supply, each) in &step.draws {
            // Beyond what fits nobody will gather anything.
            draws.extend(share(*each).ok().map(|amount| (supply, amount)));
        }
        match step.yields.needed_for(goes_on) {
            Some(taken) => goes_on = taken,
            None => break,
        }
    }
    draws
}

/// A label for each package that is kept.
pub(super) fn labels(state: &State) -> Option<Item> {
    let kept = || {
        products(state)
            .map(|(_, product)| product)
            .filter(|product| {
                matches!(
                    product.ends_in,
                    Ending::Canned { .. } | Ending::Frozen { .. }
                )
            })
    };
    kept().next()?;
    let unit = Measure::Piece.symbol();
    Some(Item::count("labels", ItemKind::Labels, unit, wanted(kept())).with_spare())
}
