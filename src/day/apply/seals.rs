//! What a seal check changes: jars leave the rack for the shelf, the cold, another load or the bin.

use super::flow::flow_mut;
use crate::day::amount::Amount;
use crate::day::command::CheckedJars;
use crate::day::event::{Layer, Onward};
use crate::day::ids::{LoadId, LotId, StationId};
use crate::day::state::State;
use crate::day::time::Timestamp;

pub(super) fn check(state: &mut State, at: Timestamp, id: &LoadId, jars: &[CheckedJars]) {
    let Some(load) = state.loads.get_mut(id) else {
        return;
    };
    load.checked
        .extend(jars.iter().map(|jars| (at, jars.clone())));
    let (canner, lifted_at) = (load.station.clone(), load.lifted_at.unwrap_or(at));
    for checked in jars {
        if let Some(lot) = &checked.lot {
            book(state, at, (&canner, lifted_at), checked, lot);
        }
    }
}

fn book(
    state: &mut State,
    at: Timestamp,
    (canner, lifted_at): (&StationId, Timestamp),
    checked: &CheckedJars,
    lot: &LotId,
) {
    let product = &checked.product;
    let Some(Onward::Step { station: rack, .. }) = state.way_on(product, canner) else {
        return;
    };
    let jars = |count: u32| Amount::whole(i64::from(count));
    let total = Amount::whole(i64::try_from(checked.total()).unwrap_or(0));
    let flow = flow_mut(state, &rack, product, lot);
    flow.remove(&[Layer {
        since: lifted_at,
        amount: total,
    }]);
    flow.taken += jars(checked.sealed);
    flow.made += jars(checked.sealed);
    flow.promised += jars(checked.sealed);
    flow.diverted += jars(checked.refrigerated) + jars(checked.frozen);
    flow.scrapped += jars(checked.broken);
    flow.sent_back += jars(checked.reprocessed);
    if checked.reprocessed > 0 {
        let flow = flow_mut(state, canner, product, lot);
        flow.arrived.sent_back += jars(checked.reprocessed);
        flow.put(Layer {
            since: at,
            amount: jars(checked.reprocessed),
        });
    }
    if let Some(product) = state.products.get_mut(product) {
        *product.finished.entry(lot.clone()).or_default() += jars(checked.sealed);
    }
}
