//! Orders that take work off its way: divert, send back, count.

use super::tally::take_waiting;
use super::{Decision, find, pass_on};
use crate::day::amount::{Amount, Measure, apportion};
use crate::day::command::{Command, Destination};
use crate::day::event::{Event, LotAmount, Portion};
use crate::day::ids::*;
use crate::day::plan::Step;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::State;

pub(super) fn decide(state: &State, command: &Command) -> Decision {
    match command {
        Command::Divert {
            station,
            product,
            lot,
            amount,
            to,
            becomes,
        } => {
            let step = find::step(state, product, station)?;
            find::before_the_rack(state, product, station)?;
            find::sensible(*amount, step)?;
            let portions = take_waiting(state, product, step, lot.as_ref(), *amount)?;
            divert(state, (product, step), portions, to, *becomes)
        }
        Command::SendBack {
            station,
            product,
            lot,
            amount,
            to,
            reason,
            becomes,
        } => {
            let step = find::step(state, product, station)?;
            find::before_the_rack(state, product, station)?;
            find::sensible(*amount, step)?;
            find::words(reason)?;
            let portions = take_waiting(state, product, step, lot.as_ref(), *amount)?;
            let arrived = sent_back(state, (product, step), &portions, to, *becomes)?;
            Ok(vec![Event::SentBack {
                station: station.clone(),
                product: product.clone(),
                portions,
                to: to.clone(),
                arrived,
                reason: reason.clone(),
            }])
        }
        Command::Recount {
            station,
            product,
            lot,
            amount,
        } => recount(state, station, product, lot, *amount),
        other => unreachable!("{other:?} does not take work off its way"),
    }
}

fn divert(
    state: &State,
    (product, step): (&ProductId, &Step),
    portions: Vec<Portion>,
    to: &Destination,
    becomes: Option<Amount>,
) -> Decision {
    let arrived = match to {
        Destination::Route {
            product: target,
            station,
        } => {
            let there = find::step(state, target, station)?;
            if (target, station) == (product, &step.station) {
                return Err(Refusal::new(
                    Code::NoWay,
                    "The work is there already.",
                    "Choose another product or station.",
                ));
            }
            if state.is_after_canner(target, station) {
                return Err(only_from_a_load(state, station));
            }
            let lots: Vec<&LotId> = portions.iter().map(|portion| &portion.lot).collect();
            find::may_hold(state, target, &lots)?;
            let arrived = arrive(state, (step.measure, there), &portions, becomes)?;
            let more = arrived.iter().map(|part| part.amount).sum();
            pass_on::room_at(state, station, more)?;
            arrived
        }
        Destination::Fresh {}
        | Destination::Scraps {}
        | Destination::Refrigerator {}
        | Destination::Freezer {} => Vec::new(),
    };
    Ok(vec![Event::Diverted {
        station: step.station.clone(),
        product: product.clone(),
        portions,
        to: to.clone(),
        arrived,
    }])
}

/// What taken work is where it arrives: the same, or as said where another measure counts.
fn arrive(
    state: &State,
    (measure, there): (Measure, &Step),
    portions: &[Portion],
    becomes: Option<Amount>,
) -> Result<Vec<LotAmount>, Refusal> {
    if let Some(amount) = becomes {
        find::sensible(amount, there)?;
        return Ok(shares(portions, amount));
    }
    if there.measure == measure {
        let same = |portion: &Portion| LotAmount {
            lot: portion.lot.clone(),
            amount: portion.amount(),
        };
        return Ok(portions.iter().map(same).collect());
    }
    let place = state.station_name(&there.station);
    let unit = there.measure.symbol();
    Err(Refusal::new(
        Code::SayBecomes,
        format!("{place} counts in {unit}, not in {}.", measure.symbol()),
        format!("Say how many {unit} it makes there."),
    )
    .with("station", place)
    .with("measure", unit))
}

/// `whole` shared out to the lots by what was taken of each.
fn shares(portions: &[Portion], whole: Amount) -> Vec<LotAmount> {
    let weights: Vec<Amount> = portions.iter().map(Portion::amount).collect();
    let parts = apportion(whole, &weights).into_iter().zip(portions);
    parts
        .map(|(amount, portion)| LotAmount {
            lot: portion.lot.clone(),
            amount,
        })
        .collect()
}

/// How much arrives at an earlier station of the same route: as said, or what the yields between
/// had made it of.
fn sent_back(
    state: &State,
    (product, step): (&ProductId, &Step),
    portions: &[Portion],
    to: &StationId,
    becomes: Option<Amount>,
) -> Result<Vec<LotAmount>, Refusal> {
    let earlier = find::step(state, product, to)?;
    let route = &find::product(state, product)?.plan.route;
    let index = |station: &StationId| route.iter().position(|s| s.station == *station);
    let (from, back) = (index(&step.station), index(to));
    let between = match (back, from) {
        (Some(back), Some(from)) if back < from => &route[back..from],
        _ => {
            return Err(Refusal::new(
                Code::NoWay,
                format!("{} does not come before.", state.station_name(to)),
                "Choose a station that the work has passed already.",
            ));
        }
    };
    if becomes.is_some() {
        return arrive(state, (step.measure, earlier), portions, becomes);
    }
    let back_through = |amount: Amount| {
        let mut steps = between.iter().rev();
        steps.try_fold(amount, |out, step| step.yields.needed_for(out))
    };
    let arrived = portions.iter().map(|portion| {
        let amount = back_through(portion.amount())?;
        let lot = portion.lot.clone();
        Some(LotAmount { lot, amount })
    });
    let arrived: Option<Vec<LotAmount>> = arrived.collect();
    arrived
        .filter(|list| list.iter().all(|part| find::in_range(part.amount).is_ok()))
        .ok_or_else(|| {
            Refusal::new(
                Code::SayBecomes,
                "The yields do not say how much that is at the earlier station.",
                format!("Say how many {} it is there.", earlier.measure.symbol()),
            )
        })
}

fn only_from_a_load(state: &State, station: &StationId) -> Refusal {
    let name = state.station_name(station);
    Refusal::new(
        Code::NoWay,
        format!("Jars come to {name} only out of a canner load."),
        "Put the jars through a load for the whole time of their tested process.",
    )
    .with("station", name)
}

fn recount(
    state: &State,
    station: &StationId,
    product: &ProductId,
    lot: &LotId,
    amount: Amount,
) -> Decision {
    let step = find::step(state, product, station)?;
    find::lot(state, lot)?;
    find::may_hold(state, product, &[lot])?;
    find::before_the_rack(state, product, station)?;
    if amount != Amount::ZERO {
        find::sensible(amount, step)?;
    }
    let was = state
        .flow(station, product, lot)
        .map_or(Amount::ZERO, |flow| flow.waiting());
    Ok(vec![Event::Recounted {
        station: station.clone(),
        product: product.clone(),
        lot: lot.clone(),
        amount,
        was,
    }])
}
