//! "One carrier done here", and taking it back.

use super::pass_on::{Done, done};
use super::{Decision, find};
use crate::day::amount::Amount;
use crate::day::command::{Command, Moment, Place, Role};
use crate::day::event::{Event, Onward, Portion};
use crate::day::flow::draw;
use crate::day::ids::*;
use crate::day::plan::{Nature, Step};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{State, StationState, Tally};

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::Tally {
            station,
            helper,
            product,
            lot,
            amount,
            to,
        } => {
            let wish = Wish {
                station,
                helper: helper.as_ref(),
                lot: lot.as_ref(),
                amount: *amount,
                to: to.as_ref(),
            };
            tally(state, moment, &wish, product.as_ref())
        }
        Command::UndoTally { station, helper } => undo(state, station, helper.as_ref()),
        other => unreachable!("{other:?} is not a tally"),
    }
}

/// What a tally asks for, but for the product.
struct Wish<'a> {
    station: &'a StationId,
    helper: Option<&'a HelperId>,
    lot: Option<&'a LotId>,
    amount: Option<Amount>,
    to: Option<&'a Place>,
}

fn tally(state: &State, moment: &Moment, wish: &Wish<'_>, product: Option<&ProductId>) -> Decision {
    let station = find::ready_station(state, wish.station)?;
    by_hand(station)?;
    seated(state, moment, (wish.station, station), wish.helper)?;
    let product = match product {
        Some(product) => product,
        None => only_product(state, wish.station)?,
    };
    let step = find::step(state, product, wish.station)?;
    let amount = wish.amount.unwrap_or(step.carrier.holds);
    find::sensible(amount, step)?;
    find::before_the_rack(state, product, wish.station)?;
    let portions = take_waiting(state, product, step, wish.lot, amount)?;
    let Done {
        parts,
        onward,
        trims_lb,
        drawn,
    } = done(state, product, step, portions, None, wish.to)?;
    Ok(vec![Event::Tallied {
        station: wish.station.clone(),
        helper: wish.helper.cloned(),
        product: product.clone(),
        parts,
        onward,
        trims_lb,
        drawn,
    }])
}

fn by_hand(station: &StationState) -> Result<(), Refusal> {
    let name = &station.plan.name;
    let instead = match station.plan.nature {
        Nature::Hand {} | Nature::Hold { .. } => return Ok(()),
        Nature::Vessel { .. } => "Fill a pot, start it, and tap that the pot is done.",
        Nature::Canner { .. } => "Build a load of the waiting jars.",
    };
    Err(Refusal::new(
        Code::WrongStation,
        format!("{name} is not counted carrier by carrier."),
        instead,
    )
    .with("station", name))
}

/// A helper tallies from their seat; the lead may correct from anywhere.
fn seated(
    state: &State,
    moment: &Moment,
    (id, station): (&StationId, &StationState),
    helper: Option<&HelperId>,
) -> Result<(), Refusal> {
    let name = &station.plan.name;
    let Some(helper_id) = helper else {
        return match moment.role {
            Role::Lead => Ok(()),
            Role::Helper | Role::Watcher => Err(Refusal::new(
                Code::NotSeated,
                format!("The board does not know who works at {name}."),
                "Pick yourself on this device first.",
            )
            .with("station", name)),
        };
    };
    let helper = find::present_helper(state, helper_id)?;
    // At a shelf or rack there are no seats to sit on.
    if station.seats.contains_key(helper_id) || station.plan.seats == 0 {
        return Ok(());
    }
    let claim = match helper.station {
        Some(_) => Command::Switch {
            helper: helper_id.clone(),
            station: id.clone(),
            beside: None,
        },
        None => Command::Claim {
            helper: helper_id.clone(),
            station: id.clone(),
            beside: None,
        },
    };
    let who = &helper.plan.name;
    Err(Refusal::new(
        Code::NotSeated,
        format!("{who} does not sit at {name}."),
        format!("Take a seat at {name} first."),
    )
    .with("helper", who)
    .with("station", name)
    .offering(claim))
}

fn only_product<'a>(state: &'a State, station: &StationId) -> Result<&'a ProductId, Refusal> {
    let name = state.station_name(station);
    let waiting: Vec<&ProductId> = state
        .flows
        .get(station)
        .into_iter()
        .flatten()
        .filter(|(_, lots)| crate::day::flow::waiting(lots) > Amount::ZERO)
        .map(|(product, _)| product)
        .collect();
    match waiting[..] {
        [only] => Ok(only),
        [] => Err(Refusal::new(
            Code::NotEnough,
            format!("Nothing waits at {name}."),
            "If something is there, choose the product and count it.",
        )
        .with("station", name)),
        _ => {
            let names: Vec<String> = waiting.iter().map(|id| state.product_name(id)).collect();
            Err(Refusal::new(
                Code::WhichProduct,
                format!("Several products wait at {name}."),
                format!("Say which: {}.", names.join(" or ")),
            )
            .with("station", name))
        }
    }
}

/// Takes an amount out of the waiting, oldest first; when less is there, offers the count.
pub(super) fn take_waiting(
    state: &State,
    product: &ProductId,
    step: &Step,
    lot: Option<&LotId>,
    amount: Amount,
) -> Result<Vec<Portion>, Refusal> {
    if let Some(lot) = lot {
        find::lot(state, lot)?;
    }
    let lots = state.lots_at(&step.station, product);
    if let Some(portions) = lots.and_then(|lots| draw(lots, lot, amount)) {
        return Ok(portions);
    }
    let there = |lot: Option<&LotId>| -> Amount {
        let flows = lots.into_iter().flatten();
        flows
            .filter(|(id, _)| lot.is_none_or(|lot| lot == *id))
            .map(|(_, flow)| flow.waiting())
            .sum()
    };
    let (waits, unit) = (there(lot), step.measure.symbol());
    let (what, place) = (
        state.product_name(product),
        state.station_name(&step.station),
    );
    let refusal = Refusal::new(
        Code::NotEnough,
        format!("{amount} {unit} of {what} was said, but {waits} {unit} waits at {place}."),
        "Tally less, or count what is really there and tally again.",
    )
    .with("station", &place)
    .with("product", &what)
    .with("waiting", waits)
    .with("amount", amount)
    .with("measure", unit);
    let counted = lot.or_else(|| likely_lot(state, product, step));
    Err(match counted {
        None => refusal,
        Some(counted) => refusal.offering(Command::Recount {
            station: step.station.clone(),
            product: product.clone(),
            lot: counted.clone(),
            amount: there(Some(counted)) + (amount - waits),
        }),
    })
}

/// The lot that more of it most likely is: what waits here, was here last, or is open.
fn likely_lot<'a>(state: &'a State, product: &ProductId, step: &Step) -> Option<&'a LotId> {
    let here = state.lots_at(&step.station, product).into_iter().flatten();
    let last = here.max_by_key(|(_, flow)| (flow.waiting() > Amount::ZERO, flow.taken));
    let produce = &state.products.get(product)?.plan.produce;
    last.map(|(lot, _)| lot).or_else(|| {
        let open = state.lots.iter().find(|(_, lot)| {
            !lot.retired && lot.plan.produce == *produce && lot.opened > Amount::ZERO
        });
        open.map(|(lot, _)| lot)
    })
}

fn undo(state: &State, station_id: &StationId, helper: Option<&HelperId>) -> Decision {
    let station = find::station(state, station_id)?;
    let last = station
        .tallies
        .iter()
        .rev()
        .find(|tally| helper.is_none() || tally.helper.as_ref() == helper);
    let name = &station.plan.name;
    let Some(tally) = last else {
        return Err(Refusal::new(
            Code::NothingToUndo,
            format!("There is no tally at {name} to take back."),
            "If the amount is wrong, count what waits.",
        )
        .with("station", name));
    };
    still_there(state, tally)?;
    Ok(vec![Event::TallyUndone {
        station: station_id.clone(),
        tally: tally.command,
    }])
}

/// Whether what a tally made has not moved on yet.
fn still_there(state: &State, tally: &Tally) -> Result<(), Refusal> {
    let there = match &tally.onward {
        Onward::Step { product, station } => tally.parts.iter().all(|part| {
            let flow = state.flow(station, product, &part.lot);
            flow.is_some_and(|flow| flow.waiting_since(tally.at) >= part.made)
                || part.made == Amount::ZERO
        }),
        Onward::Finished {} => true,
        Onward::Stock { supply } => {
            let made: Amount = tally.parts.iter().map(|part| part.made).sum();
            state
                .supplies
                .get(supply)
                .is_some_and(|supply| supply.stock >= made)
        }
    };
    if there {
        return Ok(());
    }
    Err(Refusal::new(
        Code::MovedOn,
        "What was tallied has moved on already.",
        "Count what is really there at both stations instead.",
    ))
}
