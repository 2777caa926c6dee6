//! What is meant to be done today: closed boxes to open, jars to wash, pots to put on together.

use super::layout::{Layout, plain};
use super::{Habits, Model, Unopened};
use crate::day::amount::Amount;
use crate::day::ids::{LotId, ProductId};
use crate::day::plan::Ending;
use crate::day::state::{LotState, State};
use crate::outlook::through::Through;
use crate::sim::{Then, Works};

/// So many times the jars that are expected to be filled are washed, to have some to spare.
const SPARE: f64 = 1.1;

/// Opens boxes in thought, leaves out washing nobody needs, and settles how full pots are put on.
pub(super) fn put(model: &mut Model, layout: &Layout<'_>, habits: Habits) {
    open_fruit(model, layout);
    feed_supplies(model, layout, habits);
    fill_pots(model);
}

/// Lots of the produce of each product, until what is wanted is in sight; without a wanted amount
/// all of them.
fn open_fruit(model: &mut Model, layout: &Layout<'_>) {
    let mut coming = Through::of(&model.network, &at_stops(model)).left;
    for (lot_id, lot) in &layout.state.lots {
        if lot.retired {
            continue;
        }
        let mut closed = plain(lot.unopened);
        for (class, stop) in takers(layout, lot_id, lot) {
            if closed <= 0.0 || is_stocked(layout, class) {
                continue;
            }
            let each = Through::from_stop(&model.network, stop, 1.0).left;
            let needed = needed(model, layout, &each, &coming);
            let amount = whole_boxes(lot, needed).min(closed);
            if amount <= 0.0 {
                continue;
            }
            closed -= amount;
            for (sum, each) in coming.iter_mut().zip(&each) {
                *sum += each * amount;
            }
            open(model, layout, (lot_id, class, stop), amount);
        }
    }
}

fn open(
    model: &mut Model,
    layout: &Layout<'_>,
    (lot, class, stop): (&LotId, usize, usize),
    amount: f64,
) {
    model.start.waiting[stop].push((amount, 0.0));
    model.boxes.push(Unopened {
        lot: lot.clone(),
        product: layout.products[class].clone(),
        stop,
        amount,
    });
}

/// Products a lot can be opened for, those it was opened for most first: class and first stop.
pub(super) fn takers(layout: &Layout<'_>, lot_id: &LotId, lot: &LotState) -> Vec<(usize, usize)> {
    let mut found: Vec<(Amount, usize, usize)> = Vec::new();
    for (class, product) in layout.products.iter().enumerate() {
        if let Some((stop, opened)) = takes(layout, product, lot_id, lot) {
            found.push((opened, class, stop));
        }
    }
    found.sort_by_key(|(opened, class, _)| (std::cmp::Reverse(*opened), *class));
    found
        .into_iter()
        .map(|(_, class, stop)| (class, stop))
        .collect()
}

/// One more box of each lot of fruit that has some closed: where it would be opened into, and how
/// much it holds.
pub(in crate::outlook) fn opens_into(state: &State, model: &Model) -> Vec<(LotId, usize, f64)> {
    let layout = Layout::of(state);
    let closed = state
        .lots
        .iter()
        .filter(|(_, lot)| !lot.retired && lot.unopened > Amount::ZERO);
    let into = closed.filter_map(|(id, lot)| {
        let meant = model
            .boxes
            .iter()
            .find(|closed| closed.lot == *id)
            .map(|closed| closed.stop);
        let mut takers = takers(&layout, id, lot).into_iter();
        let stop = meant.or_else(|| takers.next().map(|(_, stop)| stop))?;
        let fruit = model.counts[model.network.stops[stop].class];
        let amount = plain(lot.plan.box_holds.at_most(lot.unopened));
        fruit.then(|| (id.clone(), stop, amount))
    });
    into.collect()
}

fn takes(
    layout: &Layout<'_>,
    product: &ProductId,
    lot_id: &LotId,
    lot: &LotState,
) -> Option<(usize, Amount)> {
    let found = layout.state.products.get(product)?;
    let first = found.plan.route.first()?;
    let fits = found.plan.produce == lot.plan.produce && first.measure == lot.plan.measure;
    let stop = layout
        .first_stop(product)
        .filter(|_| fits && !found.retired)?;
    let flow = layout.state.flow(&first.station, product, lot_id);
    Some((stop, flow.map_or(Amount::ZERO, |flow| flow.arrived.opened)))
}

fn is_stocked(layout: &Layout<'_>, class: usize) -> bool {
    let product = layout.products.get(class);
    let found = product.and_then(|product| layout.state.products.get(product));
    found.is_some_and(|found| matches!(found.plan.ends_in, Ending::Stocked { .. }))
}

/// How much must still be opened, in the measure of the first step, for every product that comes
/// of it; endless where a product has no wanted amount.
fn needed(model: &Model, layout: &Layout<'_>, each: &[f64], coming: &[f64]) -> f64 {
    let mut needed = 0.0_f64;
    for (class, each) in each.iter().enumerate().filter(|(_, each)| **each > 1e-9) {
        let product = layout.products.get(class);
        let found = product.and_then(|product| layout.state.products.get(product));
        let Some(wanted) = found.and_then(|found| found.plan.wanted) else {
            return f64::INFINITY;
        };
        let missing = plain(wanted) - model.made_before[class] - coming[class];
        // Less than half a package is not worth a box.
        if missing > 0.5 {
            needed = needed.max(missing / each);
        }
    }
    needed
}

fn whole_boxes(lot: &LotState, amount: f64) -> f64 {
    let holds = plain(lot.plan.box_holds);
    if amount.is_finite() && holds > 0.0 {
        (amount / holds).ceil() * holds
    } else {
        amount
    }
}

/// What waits and is under way, by stop.
pub(in crate::outlook) fn at_stops(model: &Model) -> Vec<f64> {
    let waits = model.start.waiting.iter();
    let mut at: Vec<f64> = waits
        .map(|layers| layers.iter().map(|(amount, _)| amount).sum())
        .collect();
    for busy in &model.start.busy {
        at[busy.stop] += busy.amount;
    }
    at
}

/// Jars are washed as far as they will be filled. A supply that cannot be fed by those who are here
/// is somebody's errand.
fn feed_supplies(model: &mut Model, layout: &Layout<'_>, habits: Habits) {
    let wanted = Through::of(&model.network, &at_stops(model)).drawn;
    for (supply, wanted) in wanted.into_iter().enumerate() {
        let stock = model.network.supplies[supply].stock;
        let mut missing = wanted * SPARE - stock;
        let mut fed = 0.0;
        for class in 0..layout.products.len() {
            fed += wash(model, layout, habits, (class, supply), &mut missing);
        }
        model.network.supplies[supply].is_fed = fed > 0.0 && missing <= 1e-6;
    }
}

/// Keeps as much of the washing of one product as is missing; gives what it will bring.
fn wash(
    model: &mut Model,
    layout: &Layout<'_>,
    habits: Habits,
    (class, supply): (usize, usize),
    missing: &mut f64,
) -> f64 {
    let stops: Vec<usize> = (0..layout.stops.len())
        .filter(|stop| model.network.stops[*stop].class == class && is_stocked(layout, class))
        .collect();
    let feeds = |stop: &usize| model.network.stops[*stop].then == Then::Feed(supply);
    if !stops.iter().any(feeds) {
        return 0.0;
    }
    let able = stops.iter().all(|stop| can_be_done(model, habits, *stop));
    let mut brings = 0.0;
    // The last step first: what is nearest to the stock is done first.
    for stop in stops.into_iter().rev() {
        let each = fed_by_one(model, stop, supply);
        let carrier = model.network.stops[stop].carrier;
        let mut waiting = std::mem::take(&mut model.start.waiting[stop]);
        for (amount, _) in &mut waiting {
            let keep = if able && each > 0.0 {
                whole(missing.max(0.0) / each, carrier).min(*amount)
            } else {
                0.0
            };
            model.left_out[stop] += *amount - keep;
            *missing -= keep * each;
            brings += keep * each;
            *amount = keep;
        }
        waiting.retain(|(amount, _)| *amount > 1e-9);
        model.start.waiting[stop] = waiting;
    }
    if able {
        brings += open_jars(model, layout, (class, supply), missing);
    }
    brings
}

fn open_jars(
    model: &mut Model,
    layout: &Layout<'_>,
    (class, supply): (usize, usize),
    missing: &mut f64,
) -> f64 {
    let mut brings = 0.0;
    for (lot_id, lot) in &layout.state.lots {
        let taker = takers(layout, lot_id, lot)
            .into_iter()
            .find(|(of, _)| *of == class);
        let Some((_, stop)) = taker.filter(|_| !lot.retired) else {
            continue;
        };
        let each = fed_by_one(model, stop, supply);
        if *missing <= 0.0 || each <= 0.0 {
            continue;
        }
        let carrier = model.network.stops[stop].carrier;
        let amount = whole(*missing / each, carrier).min(plain(lot.unopened));
        if amount > 1e-9 {
            open(model, layout, (lot_id, class, stop), amount);
            *missing -= amount * each;
            brings += amount * each;
        }
    }
    brings
}

/// As many whole carriers as an amount needs.
fn whole(amount: f64, carrier: f64) -> f64 {
    (amount / carrier - 1e-9).ceil().max(0.0) * carrier
}

/// Whether anybody who is here may work at a stop, and will.
fn can_be_done(model: &Model, habits: Habits, stop: usize) -> bool {
    let station = model.network.stops[stop].station;
    if model.network.stations[station].works != Works::Hands {
        return true;
    }
    let helpers = model.network.helpers.iter().zip(&model.start.seats);
    let mut able = helpers.filter(|(helper, _)| helper.rates[stop].is_some());
    able.any(|(_, seat)| habits.roams_after_min.is_some() || *seat == Some(station))
}

/// What one unit at a stop brings into a supply.
fn fed_by_one(model: &Model, stop: usize, supply: usize) -> f64 {
    Through::from_stop(&model.network, stop, 1.0).fed[supply]
}

/// A pot is put on with the carrier its step names, even if it would take more; but what fits one
/// pot together is not split over two.
fn fill_pots(model: &mut Model) {
    let through = Through::of(&model.network, &at_stops(model)).at;
    let stops = &model.network.stops;
    for (number, station) in model.network.stations.iter_mut().enumerate() {
        let Works::Batches(batches) = &mut station.works else {
            continue;
        };
        // A canner's carrier is a jar; a load is not a jar.
        if batches.patience_min.is_some() {
            continue;
        }
        let here = stops
            .iter()
            .zip(&through)
            .filter(|(stop, _)| stop.station == number);
        let shares = here.filter(|(stop, comes)| **comes > stop.fits);
        let share = shares.map(|(stop, _)| (stop.carrier / stop.fits).clamp(0.05, 1.0));
        batches.min_share = share.fold(1.0, f64::min);
    }
}
