//! Orders about pots: fill, start, stir, hand over, done.

use super::pass_on::{Done, done};
use super::tally::take_waiting;
use super::{Decision, find, may_handle, seats};
use crate::day::amount::Amount;
use crate::day::command::{Command, Moment, Place};
use crate::day::event::Event;
use crate::day::ids::*;
use crate::day::plan::{Nature, Thickness};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{Batch, Cooking, PotState, State, StationState};

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::FillPot {
            station,
            pot,
            product,
            lot,
            amount,
        } => {
            let pot = find_pot(state, station, pot)?;
            fill(state, &pot, product, lot.as_ref(), *amount)
        }
        Command::EmptyPot { station, pot } => {
            let pot = find_pot(state, station, pot)?;
            not_cooking(&pot)?;
            let (station, pot) = pot.ids();
            Ok(vec![Event::PotEmptied { station, pot }])
        }
        Command::StartPot {
            station,
            pot,
            minder,
            backup,
        } => {
            let pot = find_pot(state, station, pot)?;
            start(state, &pot, minder.as_ref(), backup.as_ref())
        }
        Command::Stirred {
            station,
            pot,
            helper,
            thickness,
        } => {
            find::whose_hands(moment, helper.as_ref())?;
            let pot = find_pot(state, station, pot)?;
            stirred(state, &pot, helper.as_ref(), *thickness)
        }
        Command::HandOverPot {
            station,
            pot,
            minder,
            backup,
        } => {
            let pot = find_pot(state, station, pot)?;
            cooking(&pot)?;
            minders(state, &pot, Some(minder), backup.as_ref())?;
            let (station, pot) = pot.ids();
            Ok(vec![Event::PotHandedOver {
                station,
                pot,
                minder: Some(minder.clone()),
                backup: backup.clone(),
            }])
        }
        Command::NameBackup {
            station,
            pot,
            helper,
        } => {
            let pot = find_pot(state, station, pot)?;
            let (_, cooking) = cooking(&pot)?;
            minders(state, &pot, None, Some(helper))?;
            if cooking.minder.as_ref() == Some(helper) {
                return Err(minder_is_backup());
            }
            let (station, pot) = pot.ids();
            Ok(vec![Event::BackupNamed {
                station,
                pot,
                helper: helper.clone(),
            }])
        }
        Command::PotDone {
            station,
            pot,
            helper,
            made,
            to,
        } => {
            find::whose_hands(moment, helper.as_ref())?;
            let pot = find_pot(state, station, pot)?;
            pot_done(state, &pot, helper.as_ref(), *made, to.as_ref())
        }
        Command::ScrapPot {
            station,
            pot,
            helper,
            reason,
        } => {
            find::whose_hands(moment, helper.as_ref())?;
            find::words(reason)?;
            let pot = find_pot(state, station, pot)?;
            let batch = pot.pot.batch.as_ref();
            let batch = batch.ok_or_else(|| empty_refusal(&pot.name))?;
            if let Some(helper) = helper {
                may_handle(state, pot.station_id, helper)?;
            }
            let (station, pot) = pot.ids();
            Ok(vec![Event::PotScrapped {
                station,
                pot,
                helper: helper.clone(),
                product: batch.product.clone(),
                portions: batch.portions.clone(),
                reason: reason.clone(),
            }])
        }
        other => unreachable!("{other:?} is not about pots"),
    }
}

/// A pot with the names its refusals need.
struct Found<'a> {
    station_id: &'a StationId,
    station: &'a StationState,
    pot_id: &'a PotId,
    pot: &'a PotState,
    name: String,
}

impl Found<'_> {
    fn ids(&self) -> (StationId, PotId) {
        (self.station_id.clone(), self.pot_id.clone())
    }
}

fn find_pot<'a>(
    state: &'a State,
    station_id: &'a StationId,
    pot_id: &'a PotId,
) -> Result<Found<'a>, Refusal> {
    let station = find::ready_station(state, station_id)?;
    let Nature::Vessel { pots, .. } = &station.plan.nature else {
        return Err(Refusal::new(
            Code::WrongStation,
            format!("{} has no pots.", station.plan.name),
            "Tally there instead, carrier by carrier.",
        )
        .with("station", &station.plan.name));
    };
    match (station.pots.get(pot_id), pots.get(pot_id)) {
        (Some(pot), Some(plan)) => Ok(Found {
            station_id,
            station,
            pot_id,
            pot,
            name: plan.name.clone(),
        }),
        _ => Err(find::unknown("pot", pot_id.as_str())),
    }
}

fn fill(
    state: &State,
    found: &Found<'_>,
    product: &ProductId,
    lot: Option<&LotId>,
    amount: Option<Amount>,
) -> Decision {
    let name = &found.name;
    let step = find::step(state, product, found.station_id)?;
    if found.pot.dirty {
        return Err(Refusal::new(
            Code::PotDirty,
            format!("{name} is dirty."),
            format!("Wash {name} first and tap that chore done."),
        )
        .with("pot", name));
    }
    let inside = match &found.pot.batch {
        None => Amount::ZERO,
        Some(batch) => may_top_up(state, found, batch, product)?,
    };
    let room = capacity(found, step.measure)? - inside;
    let amount = match amount {
        Some(amount) => amount,
        None => waiting_of(state, found, product, lot).at_most(room),
    };
    if amount == Amount::ZERO && room > Amount::ZERO {
        // Nothing waits: say so with the same offer a tally gets.
        return Err(take_waiting(state, product, step, lot, room)
            .err()
            .unwrap_or_else(|| find::bad("Nothing to fill.", "Say how much.")));
    }
    if amount > room || room <= Amount::ZERO {
        let unit = step.measure.symbol();
        return Err(Refusal::new(
            Code::OverCapacity,
            format!("{name} has room for {room} {unit} more, not {amount} {unit}."),
            "Fill less, or take another pot. Leave room at the top: thick pulp spits.",
        )
        .with("pot", name)
        .with("room", room));
    }
    find::sensible(amount, step)?;
    let portions = take_waiting(state, product, step, lot, amount)?;
    let (station, pot) = found.ids();
    Ok(vec![Event::PotFilled {
        station,
        pot,
        product: product.clone(),
        portions,
    }])
}

fn waiting_of(
    state: &State,
    found: &Found<'_>,
    product: &ProductId,
    lot: Option<&LotId>,
) -> Amount {
    match lot {
        None => state.waiting_at(found.station_id, product),
        Some(lot) => {
            let flow = state.flow(found.station_id, product, lot);
            flow.map_or(Amount::ZERO, |flow| flow.waiting())
        }
    }
}

fn may_top_up(
    state: &State,
    found: &Found<'_>,
    batch: &Batch,
    product: &ProductId,
) -> Result<Amount, Refusal> {
    let name = &found.name;
    let holds = state.product_name(&batch.product);
    if batch.cooking.is_some() {
        return Err(Refusal::new(
            Code::PotFull,
            format!("{name} is cooking {holds}."),
            "Wait until it is done, or fill another pot.",
        )
        .with("pot", name));
    }
    if batch.product != *product {
        return Err(Refusal::new(
            Code::PotFull,
            format!("{name} holds {holds}."),
            "Fill another pot, or empty this one first.",
        )
        .with("pot", name));
    }
    Ok(batch.amount())
}

fn capacity(found: &Found<'_>, measure: crate::day::amount::Measure) -> Result<Amount, Refusal> {
    let Nature::Vessel { pots, .. } = &found.station.plan.nature else {
        return Ok(Amount::ZERO);
    };
    let takes = pots
        .get(found.pot_id)
        .and_then(|plan| plan.takes.get(&measure));
    takes.copied().ok_or_else(|| {
        let (name, unit) = (&found.name, measure.symbol());
        Refusal::new(
            Code::OverCapacity,
            format!("The board does not know how many {unit} {name} takes."),
            format!("Ask the lead to say how many {unit} fit in {name}."),
        )
        .with("pot", name)
    })
}

fn empty_refusal(name: &str) -> Refusal {
    Refusal::new(
        Code::PotEmpty,
        format!("{name} is empty."),
        "Fill it first.",
    )
    .with("pot", name)
}

fn not_cooking<'a>(found: &Found<'a>) -> Result<&'a Batch, Refusal> {
    let name = &found.name;
    let batch = found.pot.batch.as_ref();
    let batch = batch.ok_or_else(|| empty_refusal(name))?;
    if batch.cooking.is_none() {
        return Ok(batch);
    }
    Err(Refusal::new(
        Code::WrongPhase,
        format!("{name} is cooking."),
        "Tap that it is done when it is.",
    )
    .with("pot", name))
}

fn cooking<'a>(found: &Found<'a>) -> Result<(&'a Batch, &'a Cooking), Refusal> {
    let name = &found.name;
    let batch = found.pot.batch.as_ref();
    let batch = batch.ok_or_else(|| empty_refusal(name))?;
    let cooking = batch.cooking.as_ref().ok_or_else(|| {
        Refusal::new(
            Code::WrongPhase,
            format!("{name} is not on the heat."),
            "Start it first.",
        )
        .with("pot", name)
    })?;
    Ok((batch, cooking))
}

fn start(
    state: &State,
    found: &Found<'_>,
    minder: Option<&HelperId>,
    backup: Option<&HelperId>,
) -> Decision {
    not_cooking(found)?;
    seats::resources_free(state, found.station)?;
    minders(state, found, minder, backup)?;
    let stirred = matches!(
        found.station.plan.nature,
        Nature::Vessel { stir: Some(_), .. }
    );
    if stirred && minder.is_none() {
        return Err(Refusal::new(
            Code::NeedsMinder,
            format!("{} must be stirred, and nobody minds it.", found.name),
            "Name who minds it before the heat goes on.",
        )
        .with("pot", &found.name));
    }
    let (station, pot) = found.ids();
    Ok(vec![Event::PotStarted {
        station,
        pot,
        minder: minder.cloned(),
        backup: backup.cloned(),
    }])
}

/// Minder and backup are two people who are here and may work at the heat.
fn minders(
    state: &State,
    found: &Found<'_>,
    minder: Option<&HelperId>,
    backup: Option<&HelperId>,
) -> Result<(), Refusal> {
    for id in minder.into_iter().chain(backup) {
        may_handle(state, found.station_id, id)?;
    }
    if minder.is_some() && minder == backup {
        return Err(minder_is_backup());
    }
    Ok(())
}

fn minder_is_backup() -> Refusal {
    find::bad(
        "The minder cannot be the backup too.",
        "Name somebody else as the backup.",
    )
}

fn stirred(
    state: &State,
    found: &Found<'_>,
    helper: Option<&HelperId>,
    thickness: Option<Thickness>,
) -> Decision {
    let (_, cooking) = cooking(found)?;
    if let Some(helper) = helper {
        may_handle(state, found.station_id, helper)?;
    }
    let (station, pot) = found.ids();
    Ok(vec![Event::PotStirred {
        station,
        pot,
        helper: helper.cloned(),
        thickness: thickness.unwrap_or(cooking.thickness),
    }])
}

fn pot_done(
    state: &State,
    found: &Found<'_>,
    helper: Option<&HelperId>,
    made: Option<Amount>,
    to: Option<&Place>,
) -> Decision {
    let (batch, _) = cooking(found)?;
    if let Some(helper) = helper {
        may_handle(state, found.station_id, helper)?;
    }
    let step = find::step(state, &batch.product, found.station_id)?;
    if let (Some(made), Some(measure)) = (made, state.measure_after(&batch.product, step)) {
        find::sensible_in(made, measure)?;
    }
    let Done {
        parts,
        onward,
        trims_lb,
        drawn,
    } = done(
        state,
        &batch.product,
        step,
        batch.portions.clone(),
        made,
        to,
    )?;
    let (station, pot) = found.ids();
    Ok(vec![Event::PotFinished {
        station,
        pot,
        helper: helper.cloned(),
        product: batch.product.clone(),
        parts,
        onward,
        trims_lb,
        drawn,
    }])
}
