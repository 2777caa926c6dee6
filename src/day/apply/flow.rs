//! What events of the flow change: boxes, tallies, diverted and returned work, counts, splits.

use crate::day::amount::Amount;
use crate::day::command::{Destination, Place, SupplyAmounts};
use crate::day::event::{Event, Layer, LotAmount, Onward, Part, Portion};
use crate::day::flow::Flow;
use crate::day::ids::{LotId, ProductId, StationId};
use crate::day::plan::{Lot, Nature};
use crate::day::state::{State, TALLIES_KEPT, Tally};
use crate::day::time::Timestamp;
use uuid::Uuid;

pub(super) fn apply(state: &mut State, at: Timestamp, command: Uuid, event: &Event) {
    match event {
        Event::BoxOpened {
            lot,
            product,
            station,
            amount,
        } => open_box(state, at, lot, product, station, *amount),
        Event::BoxClosed {
            lot,
            product,
            station,
            layers,
        } => close_box(state, lot, product, station, layers),
        Event::Tallied {
            station,
            helper,
            product,
            parts,
            onward,
            trims_lb,
            drawn,
        } => {
            let tally = Tally {
                command,
                at,
                helper: helper.clone(),
                product: product.clone(),
                parts: parts.clone(),
                onward: onward.clone(),
                trims_lb: *trims_lb,
                drawn: drawn.clone(),
            };
            tallied(state, station, tally);
        }
        Event::TallyUndone { station, tally } => undo(state, station, *tally),
        Event::Diverted {
            station,
            product,
            portions,
            to,
            arrived,
        } => diverted(state, at, (station, product), portions, to, arrived),
        Event::Recounted {
            station,
            product,
            lot,
            amount,
            ..
        } => {
            let flow = flow_mut(state, station, product, lot);
            let more = *amount > flow.waiting();
            flow.recount(*amount, at);
            if more {
                ask_again(state, station, product);
            }
        }
        Event::LotSplit {
            lot,
            new_lot,
            plan,
            amount,
            waiting_at,
            layers,
        } => split(state, (lot, new_lot, plan), *amount, waiting_at, layers),
        Event::SentBack {
            station,
            product,
            portions,
            to,
            arrived,
            ..
        } => {
            for portion in portions {
                let flow = flow_mut(state, station, product, &portion.lot);
                flow.remove(&portion.layers);
                flow.sent_back += portion.amount();
            }
            for LotAmount { lot, amount } in arrived {
                let flow = flow_mut(state, to, product, lot);
                flow.arrived.sent_back += *amount;
                let since = oldest(portions, lot).unwrap_or(at);
                flow.put(Layer {
                    since,
                    amount: *amount,
                });
            }
        }
        other => unreachable!("{other:?} is not of the flow"),
    }
}

/// The ledger of a lot of a product at a station, begun if need be.
pub(super) fn flow_mut<'a>(
    state: &'a mut State,
    station: &StationId,
    product: &ProductId,
    lot: &LotId,
) -> &'a mut Flow {
    state
        .flows
        .entry(station.clone())
        .or_default()
        .entry(product.clone())
        .or_default()
        .entry(lot.clone())
        .or_default()
}

fn open_box(
    state: &mut State,
    at: Timestamp,
    lot: &LotId,
    product: &ProductId,
    station: &StationId,
    amount: Amount,
) {
    if let Some(lot) = state.lots.get_mut(lot) {
        lot.unopened -= amount;
        lot.opened += amount;
    }
    let flow = flow_mut(state, station, product, lot);
    flow.arrived.opened += amount;
    flow.put(Layer { since: at, amount });
}

fn close_box(
    state: &mut State,
    lot: &LotId,
    product: &ProductId,
    station: &StationId,
    layers: &[Layer],
) {
    let amount = layers.iter().map(|layer| layer.amount).sum();
    let flow = flow_mut(state, station, product, lot);
    flow.remove(layers);
    flow.arrived.opened -= amount;
    if let Some(lot) = state.lots.get_mut(lot) {
        lot.unopened += amount;
        lot.opened -= amount;
    }
}

fn tallied(state: &mut State, station: &StationId, tally: Tally) {
    for part in &tally.parts {
        flow_mut(state, station, &tally.product, &part.lot).book(part, false);
    }
    pass_on(
        state,
        tally.at,
        station,
        &tally.product,
        &tally.parts,
        &tally.onward,
    );
    draw_supplies(state, &tally.drawn);
    state.scraps_lb += tally.trims_lb;
    if let Some(station) = state.stations.get_mut(station) {
        station.tallied_at = Some(tally.at);
        station.tallies.push_back(tally);
        while station.tallies.len() > TALLIES_KEPT {
            station.tallies.pop_front();
        }
    }
}

pub(super) fn draw_supplies(state: &mut State, drawn: &SupplyAmounts) {
    for (supply, amount) in drawn {
        if let Some(supply) = state.supplies.get_mut(supply) {
            supply.stock -= *amount;
            supply.drawn += *amount;
        }
    }
}

/// Lets what was made arrive where it goes on to.
pub(super) fn pass_on(
    state: &mut State,
    at: Timestamp,
    from: &StationId,
    product: &ProductId,
    parts: &[Part],
    onward: &Onward,
) {
    for part in parts {
        match onward {
            Onward::Step { product, station } => {
                let flow = flow_mut(state, station, product, &part.lot);
                flow.arrived.made += part.made;
                flow.put(Layer {
                    since: at,
                    amount: part.made,
                });
            }
            Onward::Finished {} => finish(state, product, &part.lot, part.made),
            Onward::Stock { supply } => {
                if let Some(supply) = state.supplies.get_mut(supply) {
                    supply.stock += part.made;
                    supply.fed += part.made;
                }
                if let Some(lot) = state.lots.get_mut(&part.lot) {
                    lot.stocked += part.made;
                }
            }
        }
    }
    count_branch(state, from, product, onward, made(parts));
}

fn made(parts: &[Part]) -> Amount {
    parts.iter().map(|part| part.made).sum()
}

fn finish(state: &mut State, product: &ProductId, lot: &LotId, amount: Amount) {
    if let Some(product) = state.products.get_mut(product) {
        *product.finished.entry(lot.clone()).or_default() += amount;
    }
}

/// Remembers how much went down which branch, so that a split keeps its shares.
fn count_branch(
    state: &mut State,
    from: &StationId,
    product: &ProductId,
    onward: &Onward,
    amount: Amount,
) {
    let Some(step) = state.step(product, from) else {
        return;
    };
    let ways = state.ways_on(product, step);
    let Some(index) = ways.iter().position(|way| way == onward) else {
        return;
    };
    let sent = state
        .products
        .get_mut(product)
        .and_then(|product| product.sent.get_mut(from));
    if let Some(sent) = sent.and_then(|sent| sent.get_mut(index)) {
        *sent += amount;
    }
}

fn undo(state: &mut State, station: &StationId, command: Uuid) {
    let Some(tally) = state.stations.get_mut(station).and_then(|station| {
        let index = station
            .tallies
            .iter()
            .position(|tally| tally.command == command)?;
        station.tallies.remove(index)
    }) else {
        return;
    };
    for part in &tally.parts {
        flow_mut(state, station, &tally.product, &part.lot).unbook(part);
        take_back(state, &tally, part);
    }
    for (supply, amount) in &tally.drawn {
        if let Some(supply) = state.supplies.get_mut(supply) {
            supply.stock += *amount;
            supply.drawn -= *amount;
        }
    }
    let back = Amount::ZERO - made(&tally.parts);
    count_branch(state, station, &tally.product, &tally.onward, back);
    state.scraps_lb = (state.scraps_lb - tally.trims_lb).max(Amount::ZERO);
}

fn take_back(state: &mut State, tally: &Tally, part: &Part) {
    match &tally.onward {
        Onward::Step { product, station } => {
            let flow = flow_mut(state, station, product, &part.lot);
            flow.arrived.made -= part.made;
            flow.remove(&[Layer {
                since: tally.at,
                amount: part.made,
            }]);
        }
        Onward::Finished {} => {
            finish(state, &tally.product, &part.lot, Amount::ZERO - part.made);
        }
        Onward::Stock { supply } => {
            if let Some(supply) = state.supplies.get_mut(supply) {
                supply.stock -= part.made;
                supply.fed -= part.made;
            }
            if let Some(lot) = state.lots.get_mut(&part.lot) {
                lot.stocked -= part.made;
            }
        }
    }
}

fn diverted(
    state: &mut State,
    at: Timestamp,
    (station, product): (&StationId, &ProductId),
    portions: &[Portion],
    to: &Destination,
    arrived: &[LotAmount],
) {
    let measure = state.step(product, station).map(|step| step.measure);
    for portion in portions {
        let amount = portion.amount();
        let flow = flow_mut(state, station, product, &portion.lot);
        flow.remove(&portion.layers);
        match to {
            Destination::Scraps {} => flow.scrapped += amount,
            Destination::Route { .. }
            | Destination::Fresh {}
            | Destination::Refrigerator {}
            | Destination::Freezer {} => flow.diverted += amount,
        }
        if let (Destination::Scraps {}, Some(measure)) = (to, measure) {
            state.scraps_lb += crate::day::command::scrap_lb(measure, amount);
        }
    }
    let Destination::Route { product, station } = to else {
        return;
    };
    for LotAmount { lot, amount } in arrived {
        let since = oldest(portions, lot).unwrap_or(at);
        let flow = flow_mut(state, station, product, lot);
        flow.arrived.diverted += *amount;
        flow.put(Layer {
            since,
            amount: *amount,
        });
        ask_again(state, station, product);
    }
}

/// Jars that came to the canner by another way than filling were not looked at yet.
fn ask_again(state: &mut State, station: &StationId, product: &ProductId) {
    let canner = state
        .stations
        .get(station)
        .is_some_and(|found| matches!(found.plan.nature, Nature::Canner { .. }));
    if let Some(product) = state.products.get_mut(product).filter(|_| canner) {
        product.acid_until = None;
        product.sterile_until = None;
    }
}

/// Work that changes its way keeps its age.
fn oldest(portions: &[Portion], lot: &LotId) -> Option<Timestamp> {
    let portion = portions.iter().find(|portion| portion.lot == *lot)?;
    portion.layers.first().map(|layer| layer.since)
}

fn split(
    state: &mut State,
    (lot, new_lot, plan): (&LotId, &LotId, &Lot),
    amount: Amount,
    waiting_at: &Option<Place>,
    layers: &[Layer],
) {
    super::set_up::add_lot(state, new_lot, plan);
    match waiting_at {
        None => {
            if let Some(lot) = state.lots.get_mut(lot) {
                lot.unopened -= amount;
                lot.split += amount;
            }
        }
        Some(Place { product, station }) => {
            let flow = flow_mut(state, station, product, lot);
            flow.remove(layers);
            flow.split += amount;
            let flow = flow_mut(state, station, product, new_lot);
            flow.arrived.split += amount;
            for layer in layers {
                flow.put(*layer);
            }
        }
    }
}
