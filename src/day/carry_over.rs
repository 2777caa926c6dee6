//! What a closed day leaves for the next: the same kitchen, and what stood in bowls, pots and jars.

use super::amount::Amount;
use super::ids::LotId;
use super::plan::*;
use super::state::{Presence, State};
use std::collections::{BTreeMap, BTreeSet};

/// What is left waiting, with its age. Jars cooling after their process stay with their day.
pub fn leftovers(state: &State) -> Vec<Carried> {
    let mut left = Vec::new();
    for (station, product, lot, flow) in state.all_flows() {
        if state.is_after_canner(product, station) {
            continue;
        }
        left.extend(flow.layers.iter().map(|layer| Carried {
            station: station.clone(),
            product: product.clone(),
            lot: lot.clone(),
            amount: layer.amount,
            since: layer.since,
        }));
    }
    left
}

/// The same kitchen, people, products and supplies again, with what is left of the fruit.
pub fn plan_again(state: &State) -> DayPlan {
    let carried = leftovers(state);
    let in_work: BTreeSet<&LotId> = carried.iter().map(|part| &part.lot).collect();
    let lots = state
        .lots
        .iter()
        .filter(|(id, lot)| in_work.contains(id) || (!lot.retired && lot.unopened > Amount::ZERO));
    let lots: BTreeMap<LotId, Lot> = lots
        .map(|(id, lot)| {
            let amount = lot.unopened;
            (
                id.clone(),
                Lot {
                    amount,
                    ..lot.plan.clone()
                },
            )
        })
        .collect();
    DayPlan {
        name: state.name.clone(),
        date: state.date.clone(),
        cut_off_at: None,
        altitude_ft: state.altitude_ft,
        scraps_bucket_lb: state.scraps_bucket_lb,
        age_rules: state.age_rules(),
        resources: state.resources.clone(),
        stations: kept(
            &state.stations,
            |s| s.retired,
            |s| Station {
                set_up: s.set_up,
                ..s.plan.clone()
            },
        ),
        supplies: kept(
            &state.supplies,
            |s| s.retired,
            |s| Supply {
                stock: s.stock,
                ..s.plan.clone()
            },
        ),
        products: kept(&state.products, |p| p.retired, |p| p.plan.clone()),
        helpers: kept(
            &state.helpers,
            |h| h.retired,
            |h| Helper {
                here: h.presence != Presence::Expected,
                ..h.plan.clone()
            },
        ),
        lots,
        carried,
    }
}

fn kept<Id: Clone + Ord, Had, Plan>(
    all: &BTreeMap<Id, Had>,
    retired: impl Fn(&Had) -> bool,
    plan: impl Fn(&Had) -> Plan,
) -> BTreeMap<Id, Plan> {
    all.iter()
        .filter(|(_, had)| !retired(had))
        .map(|(id, had)| (id.clone(), plan(had)))
        .collect()
}
