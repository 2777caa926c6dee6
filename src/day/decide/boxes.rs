//! Orders about boxes, supplies and the splitting of lots.

use super::{Decision, find};
use crate::day::amount::Amount;
use crate::day::command::{Command, Place};
use crate::day::event::Event;
use crate::day::flow::draw;
use crate::day::ids::*;
use crate::day::plan::Lot;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{LotState, State};

pub(super) fn decide(state: &State, command: &Command) -> Decision {
    match command {
        Command::OpenBox {
            lot,
            product,
            amount,
        } => Ok(vec![open_box(state, lot, product, *amount)?]),
        Command::CloseBox {
            lot,
            product,
            amount,
        } => Ok(vec![close_box(state, lot, product, *amount)?]),
        Command::SplitLot {
            lot,
            new_lot,
            name,
            amount,
            waiting_at,
        } => split(state, (lot, new_lot, name), *amount, waiting_at.as_ref()),
        Command::Restock { supply, amount } => {
            find::in_range(*amount)?;
            let found = find::supply(state, supply)?;
            find::in_range(found.stock + *amount)?;
            Ok(vec![Event::SupplyRestocked {
                supply: supply.clone(),
                amount: *amount,
            }])
        }
        Command::RecountSupply { supply, amount } => {
            let found = find::supply(state, supply)?;
            if *amount != Amount::ZERO {
                find::in_range(*amount)?;
            }
            Ok(vec![Event::SupplyRecounted {
                supply: supply.clone(),
                amount: *amount,
                was: found.stock,
            }])
        }
        other => unreachable!("{other:?} is not about boxes or supplies"),
    }
}

/// Opens a box of a lot for a product; the last box may be a small one.
pub(super) fn open_box(
    state: &State,
    lot_id: &LotId,
    product_id: &ProductId,
    amount: Option<Amount>,
) -> Result<Event, Refusal> {
    let lot = find::lot(state, lot_id)?;
    let product = find::product(state, product_id)?;
    find::may_hold(state, product_id, &[lot_id])?;
    let (lot_name, name) = (&lot.plan.name, &product.plan.name);
    let first = product.plan.route.first();
    let first = first.ok_or_else(|| find::bad("The route is empty.", "Ask the lead."))?;
    if first.measure != lot.plan.measure {
        return Err(find::bad(
            format!(
                "{lot_name} is counted in {}, but {name} begins in {}.",
                lot.plan.measure.symbol(),
                first.measure.symbol()
            ),
            "Ask the lead to count both in the same measure.",
        ));
    }
    let amount = amount.unwrap_or(lot.plan.box_holds.at_most(lot.unopened));
    enough_unopened(lot, amount)?;
    find::sensible(amount, first)?;
    Ok(Event::BoxOpened {
        lot: lot_id.clone(),
        product: product_id.clone(),
        station: first.station.clone(),
        amount,
    })
}

/// Only what nobody has worked goes back, so the youngest of what waits, and no more than came out of
/// boxes.
fn close_box(
    state: &State,
    lot_id: &LotId,
    product_id: &ProductId,
    amount: Amount,
) -> Result<Event, Refusal> {
    let lot = find::lot(state, lot_id)?;
    let product = find::product(state, product_id)?;
    find::in_range(amount)?;
    let first = product.plan.route.first();
    let layers = first.and_then(|first| {
        let flow = state.flow(&first.station, product_id, lot_id)?;
        let opened = amount <= flow.arrived.opened;
        opened.then(|| flow.youngest(amount)).flatten()
    });
    let (Some(first), Some(layers)) = (first, layers) else {
        return Err(Refusal::new(
            Code::MovedOn,
            format!("So much of {} does not wait any more.", lot.plan.name),
            "Put less back, or count what really waits there.",
        )
        .with("lot", &lot.plan.name));
    };
    Ok(Event::BoxClosed {
        lot: lot_id.clone(),
        product: product_id.clone(),
        station: first.station.clone(),
        layers,
    })
}

fn enough_unopened(lot: &LotState, amount: Amount) -> Result<(), Refusal> {
    let (name, unit) = (&lot.plan.name, lot.plan.measure.symbol());
    if lot.unopened == Amount::ZERO {
        return Err(Refusal::new(
            Code::NotEnough,
            format!("Every box of {name} is open."),
            "If more came in, the lead can raise the amount of the lot.",
        )
        .with("lot", name));
    }
    find::in_range(amount)?;
    if amount <= lot.unopened {
        return Ok(());
    }
    Err(Refusal::new(
        Code::NotEnough,
        format!(
            "{name} has {} {unit} left in boxes, not {amount} {unit}.",
            lot.unopened
        ),
        "Open less; if more came in, the lead can raise the amount of the lot.",
    )
    .with("lot", name)
    .with("unopened", lot.unopened))
}

fn split(
    state: &State,
    (lot_id, new_lot, name): (&LotId, &LotId, &str),
    amount: Amount,
    waiting_at: Option<&Place>,
) -> Decision {
    let lot = find::lot(state, lot_id)?;
    find::name(name)?;
    super::set_up::free_lot_id(state, new_lot)?;
    let layers = match waiting_at {
        None => {
            enough_unopened(lot, amount)?;
            find::sensible_in(amount, lot.plan.measure)?;
            Vec::new()
        }
        Some(Place { product, station }) => {
            let step = find::step(state, product, station)?;
            find::before_the_rack(state, product, station)?;
            find::sensible(amount, step)?;
            let lots = state.lots_at(station, product);
            let portions = lots.and_then(|lots| draw(lots, Some(lot_id), amount));
            let portion = portions.and_then(|portions| portions.into_iter().next());
            portion.map(|portion| portion.layers).ok_or_else(|| {
                Refusal::new(
                    Code::NotEnough,
                    format!(
                        "Less than {amount} {} of {} waits at {}.",
                        step.measure.symbol(),
                        lot.plan.name,
                        state.station_name(station)
                    ),
                    "Split less, or count what is there first.",
                )
            })?
        }
    };
    let in_boxes = if waiting_at.is_none() {
        amount
    } else {
        Amount::ZERO
    };
    Ok(vec![Event::LotSplit {
        lot: lot_id.clone(),
        new_lot: new_lot.clone(),
        plan: Lot {
            name: name.to_owned(),
            amount: in_boxes,
            ..lot.plan.clone()
        },
        amount,
        waiting_at: waiting_at.cloned(),
        layers,
    }])
}
