//! What was made, and that all of it is accounted for.
//!
//! Packages exist from the first station of a route at which they are counted as packages to its
//! end; this looks at the ledgers of those stations as the route stood at the end of the day. An
//! ended or changed route can leave packages at stations it no longer passes; those are not told.

use super::figures::{LoadTold, Made, Packages, Waste};
use super::hours::Kept;
use crate::day::amount::{Amount, Ratio};
use crate::day::flow::Flow;
use crate::day::ids::{LoadId, ProductId, StationId};
use crate::day::plan::{Ending, Nature, Step};
use crate::day::state::{ProductState, State};
use crate::day::time::{HOUR_MS, Timestamp};
use std::collections::BTreeMap;

/// Tells of every product that ends in packages of its own.
pub(super) fn told(
    state: &State,
    waste: &BTreeMap<StationId, BTreeMap<ProductId, Waste>>,
    loads: &BTreeMap<LoadId, LoadTold>,
) -> BTreeMap<ProductId, Made> {
    let mut told = BTreeMap::new();
    for (id, product) in &state.products {
        match product.plan.ends_in {
            Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. } => {}
            Ending::Stocked { .. } | Ending::Shared {} => continue,
        }
        let mut made = packed(state, id, product);
        for step in packed_steps(product) {
            let row = waste.get(&step.station).and_then(|row| row.get(id));
            if let Some(row) = row {
                lost(&mut made, row);
            }
        }
        let short = loads.values().filter(|load| load.short);
        for jars in short.filter_map(|load| load.jars.get(id)) {
            made.short.0 += jars.0;
        }
        told.insert(id.clone(), made);
    }
    told
}

/// Finished and cooling packages of every product that ends in packages of its own.
pub(super) fn kept(state: &State) -> Kept {
    let packs = |ends_in: &Ending| match ends_in {
        Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. } => true,
        Ending::Stocked { .. } | Ending::Shared {} => false,
    };
    let products = state.products.iter();
    let of = products.filter(|(_, product)| packs(&product.plan.ends_in));
    of.map(|(id, product)| {
        let made = packed(state, id, product);
        (id.clone(), made.finished.0 + made.cooling.0)
    })
    .collect()
}

/// The stations at the end of a route at which packages stand, one for one.
fn packed_steps(product: &ProductState) -> &[Step] {
    let route = &product.plan.route;
    let package = product.plan.ends_in.package();
    let is_packed = |step: &Step| {
        Some(step.measure) == package && step.yields == Ratio::ONE && step.onward.is_empty()
    };
    let count = route
        .iter()
        .rev()
        .take_while(|step| is_packed(step))
        .count();
    &route[route.len() - count..]
}

fn packed(state: &State, id: &ProductId, product: &ProductState) -> Made {
    let plan = &product.plan;
    let finished: Amount = product.finished.values().copied().sum();
    let mut made = Made {
        name: plan.name.clone(),
        package: plan.ends_in.package(),
        wanted: plan.wanted.map(Packages),
        finished: Packages(finished),
        ..Made::default()
    };
    let steps = packed_steps(product);
    if steps.is_empty() {
        made.made = Packages(finished);
    }
    let mut processed = false;
    for (index, step) in steps.iter().enumerate() {
        let is_last = index + 1 == steps.len();
        for flow in state.lots_at(&step.station, id).into_iter().flatten() {
            book(&mut made, flow.1, is_last, processed);
        }
        let station = state.stations.get(&step.station);
        processed |= station.is_some_and(|s| matches!(s.plan.nature, Nature::Canner { .. }));
    }
    made
}

fn book(made: &mut Made, flow: &Flow, is_last: bool, processed: bool) {
    let arrived = &flow.arrived;
    made.made.0 += arrived.made;
    if !is_last {
        // It arrives once more at the next of these stations.
        made.made.0 -= flow.made;
    }
    made.brought_in.0 += arrived.opened + arrived.diverted + arrived.sent_back + arrived.carried;
    made.found.0 += flow.recounted;
    made.sent_back.0 += flow.sent_back;
    let stands = flow.waiting() + flow.inside;
    let place = if processed {
        &mut made.cooling
    } else {
        &mut made.standing
    };
    place.0 += stands;
}

fn lost(made: &mut Made, row: &Waste) {
    made.refrigerated.0 += row.refrigerator;
    made.frozen.0 += row.freezer;
    made.broken.0 += row.broken;
    made.fresh.0 += row.fresh;
    made.diverted.0 += row.other_route;
    made.scrapped.0 += row.scraps;
}

/// Finished and cooling packages by the hours of work.
pub(super) fn per_hour(
    made: &BTreeMap<ProductId, Made>,
    from: Option<Timestamp>,
    to: Timestamp,
) -> f64 {
    let worked_ms = from.map_or(0, |from| to.ms_since(from));
    if worked_ms <= 0 {
        return 0.0;
    }
    let kept = made.values().map(|made| made.finished.0 + made.cooling.0);
    let kept: Amount = kept.sum();
    Packages(kept).number() * HOUR_MS as f64 / worked_ms as f64
}
