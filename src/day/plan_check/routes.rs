//! Whether a product's route leads somewhere: its steps, branches and ending, and, for jars, whether
//! a tested process is for what will be in them.

use super::{MINUTES_MAX, STEPS_MAX, amount, bad, text};
use crate::day::amount::{Measure, Ratio};
use crate::day::decide::no_tested;
use crate::day::event::Onward;
use crate::day::ids::*;
use crate::day::plan::*;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::State;
use crate::trade::{self, Method};
use std::collections::BTreeSet;

pub(super) fn check_product(state: &State, id: &ProductId, plan: &Product) -> Result<(), Refusal> {
    text("a product", &plan.name)?;
    for produce in plan.all_produce() {
        text("a produce", produce)?;
    }
    if plan.also_of.len() > 10 {
        return Err(bad(
            format!("{} is of too many produce.", plan.name),
            "Name at most ten others.",
        ));
    }
    if let Some(wanted) = plan.wanted {
        amount(wanted, &format!("The wanted number of {}", plan.name))?;
    }
    if plan.route.is_empty() || plan.route.len() > STEPS_MAX {
        return Err(bad(
            format!("The route of {} has {} steps.", plan.name, plan.route.len()),
            format!("Give it 1 to {STEPS_MAX} stations."),
        ));
    }
    let mut seen = BTreeSet::new();
    for step in &plan.route {
        if !seen.insert(&step.station) {
            return Err(bad(
                format!(
                    "{} passes {} twice.",
                    plan.name,
                    state.station_name(&step.station)
                ),
                "Add a second station for the second time.",
            ));
        }
        check_step(state, id, plan, step)?;
    }
    check_ending(state, plan)
}

fn check_step(state: &State, id: &ProductId, plan: &Product, step: &Step) -> Result<(), Refusal> {
    let name = &plan.name;
    let station = state.stations.get(&step.station).filter(|s| !s.retired);
    let Some(station) = station else {
        return Err(bad(
            format!("{name} passes {}, which is not there.", step.station),
            "Add the station first, or change the route.",
        ));
    };
    let place = &station.plan.name;
    text("a carrier", &step.carrier.name)?;
    amount(
        step.carrier.holds,
        &format!("A {} at {place}", step.carrier.name),
    )?;
    if step.measure.is_counted() && !step.carrier.holds.is_whole() {
        return Err(bad(
            format!("A {} at {place} is not a whole number.", step.carrier.name),
            "Say whole numbers where jars, bags, tubs or pieces count.",
        ));
    }
    if !step.yields.is_sensible() || step.yields.made == 0 || !step.trims_lb.is_sensible() {
        return Err(bad(
            format!("The yield of {name} at {place} is out of range."),
            "Say how much comes out of how much: both above 0, at most 1,000.",
        ));
    }
    if let Some(minutes) = step.cook_min {
        let vessel = matches!(station.plan.nature, Nature::Vessel { .. });
        if !vessel || minutes == 0 || minutes > MINUTES_MAX {
            return Err(bad(
                format!("{name} cannot cook {minutes} minutes at {place}."),
                format!("Cooking is for stations with pots, 1 to {MINUTES_MAX} minutes."),
            ));
        }
    }
    for (supply, each) in &step.draws {
        if state.supplies.get(supply).is_none_or(|found| found.retired) {
            return Err(bad(
                format!("{name} draws on {supply}, which is not there."),
                "Add the stock first.",
            ));
        }
        amount(*each, &format!("What {name} draws"))?;
    }
    check_branches(state, id, plan, step)
}

fn check_branches(
    state: &State,
    id: &ProductId,
    plan: &Product,
    step: &Step,
) -> Result<(), Refusal> {
    let name = &plan.name;
    let mut measures: BTreeSet<Measure> = BTreeSet::new();
    let mut seen = BTreeSet::new();
    for branch in &step.onward {
        let target = state.products.get(&branch.product).filter(|p| !p.retired);
        let join = target.and_then(|p| p.plan.route.iter().find(|s| s.station == branch.station));
        let Some(join) = join else {
            return Err(bad(
                format!(
                    "{name} goes on to {} at {}, which is not there.",
                    branch.product, branch.station
                ),
                "Add that product and its station first.",
            ));
        };
        let back = branch.product == *id
            && plan.route.iter().position(|s| s.station == branch.station)
                <= plan.route.iter().position(|s| s.station == step.station);
        if back || branch.weight == 0 || branch.weight > 1000 {
            return Err(bad(
                format!("A branch of {name} leads back or has no share."),
                "Lead it to a later station and give it a share of 1 to 1000.",
            ));
        }
        if !seen.insert((&branch.product, &branch.station)) {
            return Err(bad(
                format!("{name} goes on to {} twice.", branch.product),
                "Name each way on once.",
            ));
        }
        let stranger = plan
            .all_produce()
            .find(|produce| target.is_some_and(|target| !target.plan.may_hold(produce)));
        if let Some(stranger) = stranger {
            return Err(bad(
                format!("{name} would bring {stranger} to {}.", branch.product),
                "Let it go on to products that may hold the same produce.",
            ));
        }
        if state.is_after_canner(&branch.product, &branch.station) {
            return Err(bad(
                format!(
                    "{name} would go on to {} behind its canner.",
                    branch.product
                ),
                "Let it join before the canner: jars come to the rack only out of a load.",
            ));
        }
        measures.insert(join.measure);
    }
    if measures.len() > 1 || step.onward.len() > 6 {
        return Err(bad(
            format!("The ways on of {name} count in different measures."),
            "Let all of them count in one, and have at most six.",
        ));
    }
    let last = plan.route.last().is_some_and(|s| s.station == step.station);
    let shared = matches!(plan.ends_in, Ending::Shared {});
    if last && shared && step.onward.is_empty() {
        return Err(bad(
            format!("{name} ends in nothing of its own and goes on to nothing."),
            "Say which products it goes on to, or what it ends in.",
        ));
    }
    Ok(())
}

fn check_ending(state: &State, plan: &Product) -> Result<(), Refusal> {
    let name = &plan.name;
    match &plan.ends_in {
        Ending::Shared {} => Ok(()),
        Ending::Fresh { .. } => Ok(()),
        Ending::Frozen { package } => {
            if matches!(package, Measure::Bag | Measure::Tub | Measure::Jar) {
                return Ok(());
            }
            Err(bad(
                format!("{name} is not frozen in {}.", package.symbol()),
                "Freeze it in bags, tubs or freezer jars.",
            ))
        }
        Ending::Stocked { supply, .. } => match state.supplies.get(supply) {
            Some(found) if !found.retired => Ok(()),
            Some(_) | None => Err(bad(
                format!("{name} feeds {supply}, which is not there."),
                "Add the stock first.",
            )),
        },
        Ending::Canned { food, pack, jar } => check_canned(state, plan, (food, *pack, *jar)),
    }
}

/// Jars for the shelf pass one kind of canner, cool after it, and have a tested process there.
fn check_canned(
    state: &State,
    plan: &Product,
    (food, pack, jar): (&str, trade::Pack, trade::Jar),
) -> Result<(), Refusal> {
    let name = &plan.name;
    let nature = |step: &Step| state.stations.get(&step.station).map(|s| &s.plan.nature);
    let mut canners =
        plan.route
            .iter()
            .enumerate()
            .filter_map(|(index, step)| match nature(step) {
                Some(Nature::Canner { method, .. }) => Some((index, step, *method)),
                _ => None,
            });
    let (first, second) = (canners.next(), canners.next());
    let after = first.and_then(|(index, ..)| plan.route.get(index + 1));
    let last = first.is_some_and(|(index, ..)| index + 2 == plan.route.len());
    let cools = last && after.is_some_and(|step| matches!(nature(step), Some(Nature::Hold { .. })));
    let Some((_, step, method)) = first.filter(|_| second.is_none() && cools) else {
        return Err(bad(
            format!("{name} does not pass one canner and end on a place to cool."),
            "Put jars for the shelf through one canner and then a rack to cool on, which is the last.",
        ));
    };
    let each_jar_once = step.measure == Measure::Jar
        && after.is_some_and(|after| after.measure == Measure::Jar)
        && step.yields == Ratio::ONE
        && step.onward.is_empty();
    if !each_jar_once {
        return Err(bad(
            format!("{name} is not counted in jars at the canner and after it."),
            "Count jars there, one for one.",
        ));
    }
    tested_for(plan, food)?;
    tested_at(state, name, (food, pack, jar), method)
}

/// A tested process is for its own produce: pear times are not for pumpkins.
fn tested_for(plan: &Product, food: &str) -> Result<(), Refusal> {
    // An unknown food is refused by the lookup, with better words.
    let Some(tested) = trade::product(food) else {
        return Ok(());
    };
    let listed = |produce: &str| {
        let mut sheet = trade::produce().iter();
        sheet.any(|known| known.name == produce && known.products.contains(&tested.name))
    };
    let stranger = plan.all_produce().find(|produce| !listed(produce));
    let Some(stranger) = stranger else {
        return Ok(());
    };
    let sheet = trade::produce().iter();
    let known: Vec<&str> = sheet
        .filter(|known| known.products.contains(&tested.name))
        .map(|known| known.name.as_str())
        .collect();
    Err(Refusal::new(
        Code::NoTestedProcess,
        format!(
            "The tested process for {} is not for {stranger}.",
            tested.name
        ),
        format!(
            "It is for {}. Freeze it, or ask your local extension service for a tested recipe.",
            known.join(", ")
        ),
    )
    .with("product", &plan.name)
    .with("produce", stranger))
}

fn tested_at(
    state: &State,
    name: &str,
    (food, pack, jar): (&str, trade::Pack, trade::Jar),
    method: Method,
) -> Result<(), Refusal> {
    // Without an altitude the load itself is refused; here it is asked whether there is any table.
    let altitude_ft = state.altitude_ft.unwrap_or(0);
    match trade::tested(food, pack, jar, method, altitude_ft) {
        Ok(_) => Ok(()),
        Err(reason) => Err(no_tested(name, &reason)),
    }
}

/// No work may come back to a place it has passed, or it would never end.
pub(super) fn no_circles(state: &State) -> Result<(), Refusal> {
    for (start, product) in state.products.iter().filter(|(_, p)| !p.retired) {
        let mut open: Vec<(&ProductId, &StationId)> = Vec::new();
        open.extend(product.plan.route.iter().map(|step| (start, &step.station)));
        let origins: BTreeSet<_> = open.iter().copied().collect();
        for origin in origins {
            let mut seen: BTreeSet<(ProductId, StationId)> = BTreeSet::new();
            let mut next = vec![(origin.0.clone(), origin.1.clone())];
            while let Some((product, station)) = next.pop() {
                let Some(step) = state.step(&product, &station) else {
                    continue;
                };
                for way in state.ways_on(&product, step) {
                    let Onward::Step { product, station } = way else {
                        continue;
                    };
                    if (&product, &station) == origin {
                        return Err(bad(
                            format!(
                                "The way of {} leads back to {}.",
                                state.product_name(&product),
                                state.station_name(&station)
                            ),
                            "Let every way lead onward; what must be done again is sent back.",
                        ));
                    }
                    if seen.insert((product.clone(), station.clone())) {
                        next.push((product, station));
                    }
                }
            }
        }
    }
    Ok(())
}
