//! What freezing calls for: packages, a cold freezer, and room in it.

use super::{Item, ItemKind, products, wanted};
use crate::day::amount::Measure;
use crate::day::plan::{Ending, Product};
use crate::day::state::State;

const PACKAGES: [Measure; 3] = [Measure::Bag, Measure::Tub, Measure::Jar];

pub(super) fn items(state: &State) -> Vec<Item> {
    let frozen_in = |measure: Measure| {
        let all = products(state).map(|(_, product)| product);
        all.filter(move |product: &&Product| {
            matches!(product.ends_in, Ending::Frozen { package } if package == measure)
        })
    };
    let mut list = Vec::new();
    for measure in PACKAGES {
        if frozen_in(measure).next().is_none() {
            continue;
        }
        let unit = measure.symbol();
        let wanted = wanted(frozen_in(measure));
        let packages = Item::count(format!("packages-{unit}"), ItemKind::Packages, unit, wanted);
        list.push(packages.named(unit).with_spare());
    }
    if !list.is_empty() {
        list.push(Item::tick("freezer-cold", ItemKind::FreezerCold).by_rule("fz-temp"));
        list.push(Item::tick("freezer-room", ItemKind::FreezerRoom).by_rule("fz-rate"));
    }
    list
}
