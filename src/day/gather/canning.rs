//! What canning calls for: jars by size, lids, bands, acid, recipes, canners and the tools at them.

use super::{Item, ItemKind, products, wanted};
use crate::day::ids::ProductId;
use crate::day::plan::{Ending, Nature, Product};
use crate::day::state::State;
use crate::trade::{self, Jar, Method};

fn canned(state: &State) -> impl Iterator<Item = (&ProductId, &Product, Jar)> {
    products(state).filter_map(|(id, product)| match product.ends_in {
        Ending::Canned { jar, .. } => Some((id, product, jar)),
        Ending::Frozen { .. }
        | Ending::Fresh { .. }
        | Ending::Stocked { .. }
        | Ending::Shared {} => None,
    })
}

pub(super) fn items(state: &State) -> Vec<Item> {
    let all = || canned(state).map(|(_, product, _)| product);
    if all().next().is_none() {
        return Vec::new();
    }
    let mut list = Vec::new();
    for (id, product, _) in canned(state) {
        let recipe = Item::tick(format!("recipe-{id}"), ItemKind::Recipe);
        list.push(recipe.named(&product.name).by_rule("tested-only"));
    }
    for &size in Jar::ALL {
        let of_size = || canned(state).filter(|(_, _, jar)| *jar == size);
        if of_size().next().is_none() {
            continue;
        }
        let wanted = wanted(of_size().map(|(_, product, _)| product));
        let mut jars = Item::count(format!("jars-{size}"), ItemKind::Jars, "jar", wanted);
        jars.jar = Some(size);
        list.push(jars.by_rule("jar-type"));
    }
    let lids = Item::count("lids", ItemKind::Lids, "lid", wanted(all()));
    list.push(lids.with_spare().by_rule("lids-new"));
    let bands = Item::count("bands", ItemKind::Bands, "band", wanted(all()));
    list.push(bands.by_rule("lids-new"));
    list.extend(canned(state).filter_map(|(id, product, _)| acid(state, id, product)));
    list.extend(canners(state));
    list.extend(tools(state));
    list
}

/// Bottled acid for each jar of a product whose tested process asks for it.
fn acid(state: &State, id: &ProductId, product: &Product) -> Option<Item> {
    let Ending::Canned { food, pack, jar } = &product.ends_in else {
        return None;
    };
    let canner = product.route.get(state.canner_step(product)?)?;
    let Nature::Canner { method, .. } = state.stations.get(&canner.station)?.plan.nature else {
        return None;
    };
    // Acid does not change with the height, which may not be known yet.
    let altitude_ft = state.altitude_ft.unwrap_or(0);
    let tested = trade::tested(food, *pack, *jar, method, altitude_ft).ok()?;
    let mut item = Item::count(format!("acid-{id}"), ItemKind::Acid, "jar", product.wanted);
    item.detail = Some(tested.acid?);
    Some(item.named(&product.name).by_rule("acid-bottled-only"))
}

/// Each canner with its rack and lid; a dial gauge tested within the year.
fn canners(state: &State) -> Vec<Item> {
    let mut list = Vec::new();
    for (station_id, station) in state.stations.iter().filter(|(_, s)| !s.retired) {
        let Nature::Canner { method, canners } = &station.plan.nature else {
            continue;
        };
        for (id, canner) in canners {
            let item = |word: &str, kind| {
                Item::tick(format!("{word}-{station_id}/{id}"), kind).named(&canner.name)
            };
            list.push(match method {
                Method::BoilingWater => item("canner", ItemKind::Canner).by_rule("water-depth"),
                Method::Steam => item("canner", ItemKind::SteamCanner).by_rule("steam-limit"),
                Method::PressureDial | Method::PressureWeighted => {
                    item("canner", ItemKind::Canner).by_rule("pressure-min-size")
                }
            });
            match method {
                Method::PressureDial => {
                    list.push(item("gauge", ItemKind::DialGauge).by_rule("pressure-gauge-check"))
                }
                Method::PressureWeighted => {
                    list.push(item("gauge", ItemKind::WeightedGauge).by_rule("alt-weight"));
                }
                Method::BoilingWater | Method::Steam => {}
            }
        }
    }
    list
}

/// What stands ready where jars are filled, heated and cooled.
fn tools(state: &State) -> Vec<Item> {
    let hot_only = canned(state).all(|(_, product, _)| {
        matches!(
            product.ends_in,
            Ending::Canned {
                pack: trade::Pack::Hot,
                ..
            }
        )
    });
    let water = if hot_only {
        "load-temp-hot"
    } else {
        "load-temp-raw"
    };
    vec![
        Item::tick("jar-lifter", ItemKind::JarLifter).by_rule("jar-upright"),
        Item::tick("headspace-ruler", ItemKind::HeadspaceRuler).by_rule("hs-exact"),
        Item::tick("bubble-tool", ItemKind::BubbleTool).by_rule("bubbles"),
        Item::tick("rim-cloths", ItemKind::RimCloths).by_rule("rim-wipe"),
        Item::tick("canner-thermometer", ItemKind::CannerThermometer).by_rule(water),
        Item::tick("cooling-place", ItemKind::CoolingPlace).by_rule("cool-spacing"),
    ]
}
