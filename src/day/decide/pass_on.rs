//! Working out what done work becomes: which way it goes, how much is made, what it draws.

use super::find::bad;
use crate::day::amount::{AMOUNT_MAX, Amount, apportion};
use crate::day::command::{Place, SupplyAmounts};
use crate::day::event::{Onward, Part, Portion};
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Step;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::State;

/// The done work of one command, ready for its event.
pub(super) struct Done {
    pub parts: Vec<Part>,
    pub onward: Onward,
    pub trims_lb: Amount,
    pub drawn: SupplyAmounts,
}

/// What becomes of portions worked at a step. `made` is what somebody measured, in the measure of
/// the next step; without it the yield tells.
pub(super) fn done(
    state: &State,
    product: &ProductId,
    step: &Step,
    portions: Vec<Portion>,
    made: Option<Amount>,
    to: Option<&Place>,
) -> Result<Done, Refusal> {
    let onward = choose_way(state, product, step, to)?;
    let taken: Amount = portions.iter().map(Portion::amount).sum();
    let parts = convert(state, product, step, portions, made)?;
    let made = parts.iter().map(|part| part.made).sum();
    believable(state, &onward, made)?;
    room_to_stand(state, &onward, made)?;
    let drawn = draw_supplies(state, step, made)?;
    let (trims_lb, _) = step.trims_lb.convert(taken, 0);
    Ok(Done {
        parts,
        onward,
        trims_lb,
        drawn,
    })
}

/// The way the work goes on: as told, the only one, or the branch most behind its share.
fn choose_way(
    state: &State,
    product: &ProductId,
    step: &Step,
    to: Option<&Place>,
) -> Result<Onward, Refusal> {
    let ways = state.ways_on(product, step);
    if let Some(place) = to {
        let told = Onward::Step {
            product: place.product.clone(),
            station: place.station.clone(),
        };
        if ways.contains(&told) {
            return Ok(told);
        }
        let names: Vec<String> = ways.iter().map(|way| way_name(state, way)).collect();
        return Err(Refusal::new(
            Code::NoWay,
            format!(
                "From {} the work does not go on to {} at {}.",
                state.station_name(&step.station),
                state.product_name(&place.product),
                state.station_name(&place.station)
            ),
            format!("It can go on to {}.", names.join(" or ")),
        ));
    }
    let sent = state
        .products
        .get(product)
        .and_then(|product| product.sent.get(&step.station));
    let behind = |index: &usize| {
        let sent = sent.and_then(|sent| sent.get(*index)).copied();
        let weight = step.onward.get(*index).map_or(1, |branch| branch.weight);
        // Compared as fractions over a common denominator, to stay exact.
        let others: i128 = step
            .onward
            .iter()
            .map(|b| i128::from(b.weight.max(1)))
            .product();
        i128::from(sent.unwrap_or_default().0) * (others / i128::from(weight.max(1)))
    };
    let chosen = (0..ways.len()).min_by_key(behind);
    chosen
        .and_then(|index| ways.get(index).cloned())
        .ok_or_else(|| {
            bad(
                format!("{} leads nowhere.", state.product_name(product)),
                "Ask the lead to complete its route.",
            )
        })
}

fn way_name(state: &State, way: &Onward) -> String {
    match way {
        Onward::Step { product, station } => format!(
            "{} at {}",
            state.product_name(product),
            state.station_name(station)
        ),
        Onward::Finished {} => "the finished packages".to_owned(),
        Onward::Stock { supply } => state
            .supplies
            .get(supply)
            .map_or_else(|| supply.to_string(), |supply| supply.plan.name.clone()),
    }
}

fn convert(
    state: &State,
    product: &ProductId,
    step: &Step,
    portions: Vec<Portion>,
    made: Option<Amount>,
) -> Result<Vec<Part>, Refusal> {
    let counted = state
        .measure_after(product, step)
        .is_some_and(|measure| measure.is_counted());
    let mut parts: Vec<Part> = portions
        .into_iter()
        .map(|portion| {
            let flow = state.flow(&step.station, product, &portion.lot);
            let before = flow.map_or(0, |flow| flow.remainder);
            let (promised, after) = step.yields.convert(portion.amount(), before);
            // An undo can leave a remainder the yield overshoots; nothing is never made negative.
            let (promised, after) = if promised < Amount::ZERO {
                (Amount::ZERO, before)
            } else {
                (promised, after)
            };
            Part {
                lot: portion.lot,
                layers: portion.layers,
                made: promised,
                promised,
                remainder_change: after - before,
            }
        })
        .collect();
    let promised: Amount = parts.iter().map(|part| part.promised).sum();
    if let Some(made) = made {
        share_out(&mut parts, made, counted && made.is_whole());
    } else if counted {
        share_out(&mut parts, whole_near(promised)?, true);
    }
    Ok(parts)
}

/// The whole number of packages that a promised amount stands for.
fn whole_near(promised: Amount) -> Result<Amount, Refusal> {
    let whole = Amount((promised.0 + 500).div_euclid(1000) * 1000);
    let off = (promised - whole).0.abs();
    if whole > Amount::ZERO && off <= 50 {
        return Ok(whole);
    }
    Err(bad(
        format!("That makes {promised} packages, which is not a whole number."),
        "Tally whole packages, or recount what waits.",
    ))
}

/// Gives each lot its part of what was made, in whole packages if they are counted.
fn share_out(parts: &mut [Part], made: Amount, counted: bool) {
    let weights: Vec<Amount> = parts.iter().map(Part::taken).collect();
    let shares = if counted {
        let whole = apportion(Amount(made.0 / 1000), &weights);
        whole.into_iter().map(|n| Amount(n.0 * 1000)).collect()
    } else {
        apportion(made, &weights)
    };
    for (part, share) in parts.iter_mut().zip(shares) {
        part.made = share;
    }
}

/// No yield fills a kitchen with a million of anything.
fn believable(state: &State, onward: &Onward, made: Amount) -> Result<(), Refusal> {
    let there = match onward {
        Onward::Step { product, station } => state.waiting_at(station, product),
        Onward::Finished {} => Amount::ZERO,
        Onward::Stock { supply } => {
            let found = state.supplies.get(supply);
            found.map_or(Amount::ZERO, |supply| supply.stock)
        }
    };
    if made <= AMOUNT_MAX && there + made <= AMOUNT_MAX {
        return Ok(());
    }
    Err(bad(
        format!("That would make {made}, too much to be true."),
        "Say less, or ask the lead to look at the yield.",
    ))
}

/// A rack or shelf takes no more than fits.
fn room_to_stand(state: &State, onward: &Onward, made: Amount) -> Result<(), Refusal> {
    let Onward::Step { station, .. } = onward else {
        return Ok(());
    };
    room_at(state, station, made)
}

pub(super) fn room_at(state: &State, station: &StationId, more: Amount) -> Result<(), Refusal> {
    let Some(hold) = state.stations.get(station) else {
        return Ok(());
    };
    let crate::day::plan::Nature::Hold {
        capacity: Some(capacity),
    } = hold.plan.nature
    else {
        return Ok(());
    };
    let standing = state.standing_at(station);
    if standing + more <= capacity {
        return Ok(());
    }
    let name = &hold.plan.name;
    Err(Refusal::new(
        Code::OverCapacity,
        format!("{name} holds {capacity}; {standing} stand there and {more} more do not fit."),
        format!("Clear {name} first, or let the lead give it more room."),
    )
    .with("station", name)
    .with("capacity", capacity))
}

fn draw_supplies(state: &State, step: &Step, made: Amount) -> Result<SupplyAmounts, Refusal> {
    let mut drawn = SupplyAmounts::new();
    for (id, each) in &step.draws {
        let total = i128::from(each.0) * i128::from(made.0);
        let needed = i64::try_from((total + 999).div_euclid(1000)).map_or(Amount(i64::MAX), Amount);
        let supply = super::find::supply(state, id)?;
        if supply.stock < needed {
            let (name, unit) = (&supply.plan.name, &supply.plan.unit);
            return Err(Refusal::new(
                Code::SupplyOut,
                format!(
                    "{name} ran out: this takes {needed} {unit}, and {} are there.",
                    supply.stock
                ),
                format!("Bring more {name}; if more are there already, count them again."),
            )
            .with("supply", name)
            .with("needed", needed)
            .with("stock", supply.stock));
        }
        drawn.insert(id.clone(), needed);
    }
    Ok(drawn)
}
