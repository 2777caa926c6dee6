//! What waits, out of the ledgers with its ages.

use super::layout::{Layout, plain};
use super::{Model, minutes_from};
use crate::pace::Pace;
use crate::sim::{Uncertain, Unsure};

/// Puts what waits at every stop, oldest first, and how much each branch of a split had already.
pub(super) fn put(model: &mut Model, layout: &Layout<'_>, pace: &Pace) {
    model.start.waiting = layout.stops.iter().map(|_| Vec::new()).collect();
    model.start.shared = layout.stops.iter().map(|_| Vec::new()).collect();
    for (stop, place) in layout.stops.iter().enumerate() {
        // Jars on the rack are made; only their seal check is left, on another day.
        if layout.state.is_after_canner(&place.product, &place.station) {
            continue;
        }
        let lots = layout.state.lots_at(&place.station, &place.product);
        let flows = lots.into_iter().flat_map(|lots| lots.values());
        let mut layers: Vec<_> = flows.flat_map(|flow| flow.layers.iter().copied()).collect();
        layers.sort();
        let waits = layers.iter().map(|layer| {
            let age = minutes_from(layer.since, model.at).max(0.0);
            (plain(layer.amount), age)
        });
        model.start.waiting[stop] = waits.filter(|(amount, _)| *amount > 0.0).collect();
        model.start.shared[stop] = shared(model, layout, stop);
        unsure(model, layout, pace, stop);
    }
}

/// What came here by promise and nobody counted is more or less, as the step before gives.
fn unsure(model: &mut Model, layout: &Layout<'_>, pace: &Pace, stop: usize) {
    let place = &layout.stops[stop];
    for ((station, product), amount) in pace.uncounted(&place.station, &place.product) {
        let Some(from) = layout.stop(&station, &product) else {
            continue;
        };
        let promised = layout.step(from).map_or(0.0, |step| {
            step.yields.made as f64 / step.yields.from.max(1) as f64
        });
        let varies = !matches!(model.network.stops[from].yields, Uncertain::Known(_));
        if amount > 0.0 && promised > 0.0 && varies {
            model.start.unsure.push(Unsure {
                stop,
                from,
                amount,
                promised,
            });
        }
    }
}

/// What each way of a split has had, in the order of the model's ways.
fn shared(model: &Model, layout: &Layout<'_>, stop: usize) -> Vec<f64> {
    let crate::sim::Then::Share(ways) = &model.network.stops[stop].then else {
        return Vec::new();
    };
    let place = &layout.stops[stop];
    let product = layout.state.products.get(&place.product);
    let sent = product.and_then(|product| product.sent.get(&place.station));
    let branches = layout
        .step(stop)
        .map_or(&[][..], |step| step.onward.as_slice());
    let had = |(_, to): &(f64, usize)| {
        let way = branches
            .iter()
            .position(|branch| layout.stop(&branch.station, &branch.product) == Some(*to));
        let had = way.and_then(|way| sent?.get(way)).copied();
        had.map_or(0.0, plain)
    };
    ways.iter().map(had).collect()
}
