//! Orders that set the day up or change its set-up.
//!
//! Each is tried on a copy of the day and the whole set-up is then checked at once
//! ([`super::super::plan_check`]), so no order can leave a set-up that another would refuse.

use super::{Decision, find};
use crate::day::amount::Amount;
use crate::day::command::{Command, Moment, Place};
use crate::day::event::Event;
use crate::day::ids::*;
use crate::day::plan::{Helper, Lot, Nature, Product, Station, Supply, Verdict};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{LoadPhase, State, StationState};
use crate::day::{apply, plan_check};

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    let events = events(state, command, moment)?;
    let mut after = state.clone();
    for event in &events {
        apply(&mut after, moment.now, moment.command, event);
    }
    plan_check::check(&after)?;
    carried_before_canner(&after)?;
    shared_things_suffice(&after)?;
    seats_still_allowed(&after)?;
    Ok(events)
}

/// Nothing is carried over to a rack: jars come there only out of a load of their own day.
fn carried_before_canner(after: &State) -> Result<(), Refusal> {
    let carried = after.all_flows().find(|(station, product, _, flow)| {
        flow.arrived.carried > Amount::ZERO && after.is_after_canner(product, station)
    });
    match carried {
        None => Ok(()),
        Some((station, ..)) => Err(find::bad(
            format!(
                "Jars cannot be carried over to {}.",
                after.station_name(station)
            ),
            "Leave jars that cool with the day that processed them.",
        )),
    }
}

fn shared_things_suffice(after: &State) -> Result<(), Refusal> {
    for (id, resource) in &after.resources {
        let used = after.resource_used(id);
        if used > resource.count {
            return Err(Refusal::new(
                Code::ResourceBusy,
                format!(
                    "That would use {used} of {} {}.",
                    resource.count, resource.name
                ),
                "Wait until one is free, or raise how many there are.",
            )
            .with("resource", &resource.name));
        }
    }
    Ok(())
}

/// Whoever sits somewhere must still be allowed to after the change.
fn seats_still_allowed(after: &State) -> Result<(), Refusal> {
    let rules = after.age_rules();
    for station in after.stations.values() {
        for (id, seat) in &station.seats {
            let Some(helper) = after.helpers.get(id) else {
                continue;
            };
            let allowed = match super::verdict(&rules, &helper.plan, &station.plan) {
                Verdict::Allowed => true,
                Verdict::WithAdult => seat.beside.is_some(),
                Verdict::Never => false,
            };
            if !allowed {
                return Err(in_use(format!(
                    "{} sits at {}, which the change would not allow.",
                    helper.plan.name, station.plan.name
                )));
            }
        }
    }
    minders_still_allowed(after)
}

/// Whoever minds a cooking pot must still be allowed to as well.
fn minders_still_allowed(after: &State) -> Result<(), Refusal> {
    for id in after.helpers.keys() {
        for (station, ..) in after.pots_minded(id) {
            if super::may_handle(after, station, id).is_err() {
                return Err(in_use(format!(
                    "{} minds a pot at {}, which the change would not allow.",
                    after.helper_name(id),
                    after.station_name(station)
                )));
            }
        }
    }
    Ok(())
}

fn events(state: &State, command: &Command, moment: &Moment) -> Decision {
    let one = |event: Event| Ok(vec![event]);
    match command {
        Command::OpenDay { plan } => {
            plan_check::check_plan(plan, moment.now)?;
            one(Event::DayOpened { plan: plan.clone() })
        }
        Command::ChangeDay {
            name,
            altitude_ft,
            cut_off_at,
            scraps_bucket_lb,
        } => {
            let (name, altitude_ft) = (name.clone(), *altitude_ft);
            if altitude_ft.is_some_and(|ft| Some(ft) != state.altitude_ft) {
                no_load_timed(state)?;
            }
            one(Event::DayChanged {
                name,
                altitude_ft,
                cut_off_at: *cut_off_at,
                scraps_bucket_lb: *scraps_bucket_lb,
            })
        }
        Command::CloseDay {} => close(state),
        Command::SetAgeRules { rules } => one(Event::AgeRulesSet {
            rules: rules.clone(),
        }),
        Command::PutResource { resource, plan } => {
            let used = state.resource_used(resource);
            if used > plan.count {
                return Err(in_use(format!("{used} of {} are in use now.", plan.name)));
            }
            one(Event::ResourcePut {
                resource: resource.clone(),
                plan: plan.clone(),
            })
        }
        Command::RetireResource { resource } => retire_resource(state, resource),
        Command::AddStation { station, plan } => {
            free_id(state.stations.contains_key(station), station.as_str())?;
            one(Event::StationAdded {
                station: station.clone(),
                plan: plan.clone(),
            })
        }
        Command::ChangeStation { station, plan } => change_station(state, station, plan),
        Command::RetireStation { station } => retire_station(state, station),
        Command::SetUp {
            station,
            instead_of,
        } => set_up(state, station, instead_of.as_ref()),
        Command::PutAway { station } => {
            idle(state, station)?;
            one(Event::StationPutAway {
                station: station.clone(),
            })
        }
        Command::AddHelper { helper, plan } => add_helper(state, helper, plan),
        Command::ChangeHelper { helper, plan } => change_helper(state, helper, plan),
        Command::RetireHelper { helper } => retire_helper(state, helper),
        Command::AddProduct { product, plan } => {
            free_id(state.products.contains_key(product), product.as_str())?;
            one(Event::ProductAdded {
                product: product.clone(),
                plan: plan.clone(),
            })
        }
        Command::ChangeProduct { product, plan } => change_product(state, product, plan),
        Command::RetireProduct { product } => retire_product(state, product),
        Command::AddLot { lot, plan } => {
            free_lot_id(state, lot)?;
            one(Event::LotAdded {
                lot: lot.clone(),
                plan: plan.clone(),
            })
        }
        Command::ChangeLot { lot, plan } => change_lot(state, lot, plan),
        Command::RetireLot { lot } => retire_lot(state, lot),
        Command::AddSupply { supply, plan } => {
            free_id(state.supplies.contains_key(supply), supply.as_str())?;
            one(Event::SupplyAdded {
                supply: supply.clone(),
                plan: plan.clone(),
            })
        }
        Command::ChangeSupply { supply, plan } => change_supply(state, supply, plan),
        Command::RetireSupply { supply } => {
            find::supply(state, supply)?;
            one(Event::SupplyRetired {
                supply: supply.clone(),
            })
        }
        other => unreachable!("{other:?} does not set up"),
    }
}

fn in_use(detail: impl Into<String>) -> Refusal {
    Refusal::new(
        Code::InUse,
        detail,
        "Free it first: move what waits there, or let it finish.",
    )
}

/// A load keeps the process it was built with, so the altitude stays while one is in a canner.
fn no_load_timed(state: &State) -> Result<(), Refusal> {
    let timed = state.loads.iter().find(|(_, load)| load.is_in_canner());
    match timed {
        None => Ok(()),
        Some((id, load)) => Err(in_use(format!(
            "Load {id} got its process for {} ft.",
            load.process.tested.altitude_ft
        ))),
    }
}

fn free_id(taken: bool, id: &str) -> Result<(), Refusal> {
    if !taken {
        return Ok(());
    }
    Err(Refusal::new(
        Code::IdTaken,
        format!("The id {id:?} is in use."),
        "Choose another id; ids of what was taken off the list stay used.",
    )
    .with("id", id))
}

pub(super) fn free_lot_id(state: &State, lot: &LotId) -> Result<(), Refusal> {
    free_id(state.lots.contains_key(lot), lot.as_str())
}

/// Closing takes unheated jars and unstarted pots apart, so that all that is left waits somewhere.
fn close(state: &State) -> Decision {
    let mut events = Vec::new();
    for (id, load) in &state.loads {
        match load.phase {
            LoadPhase::Lifted | LoadPhase::Cancelled => {}
            LoadPhase::Loading => events.push(Event::LoadCancelled { load: id.clone() }),
            LoadPhase::Heating | LoadPhase::Venting | LoadPhase::Timing | LoadPhase::Resting => {
                let place = state.station_name(&load.station);
                return Err(Refusal::new(
                    Code::StillHot,
                    format!("Load {id} is still in {place}."),
                    "Let it finish and lift the jars, then close the day.",
                )
                .with("station", place));
            }
        }
    }
    for (id, station) in &state.stations {
        for (pot, found) in &station.pots {
            let Some(batch) = &found.batch else { continue };
            if batch.cooking.is_some() {
                let place = &station.plan.name;
                return Err(Refusal::new(
                    Code::StillHot,
                    format!("A pot at {place} is still cooking."),
                    "Take it off the heat and tap that it is done, then close the day.",
                )
                .with("station", place));
            }
            events.push(Event::PotEmptied {
                station: id.clone(),
                pot: pot.clone(),
            });
        }
        events.extend(station.seats.keys().map(|helper| Event::SeatLeft {
            helper: helper.clone(),
            station: id.clone(),
        }));
    }
    events.push(Event::DayClosed {});
    Ok(events)
}

fn retire_resource(state: &State, id: &ResourceId) -> Decision {
    if !state.resources.contains_key(id) {
        return Err(find::unknown("shared thing", id.as_str()));
    }
    let user = state
        .stations
        .values()
        .find(|station| !station.retired && station.plan.occupies.contains_key(id));
    if let Some(station) = user {
        return Err(in_use(format!("{} needs it.", station.plan.name)));
    }
    Ok(vec![Event::ResourceRetired {
        resource: id.clone(),
    }])
}

/// Whether nobody sits at a station, nothing stands in its pots and no load in its canner.
fn idle<'a>(state: &'a State, id: &StationId) -> Result<&'a StationState, Refusal> {
    let station = find::station(state, id)?;
    let name = &station.plan.name;
    if let Some(helper) = station.seats.keys().next() {
        let who = state.helper_name(helper);
        return Err(in_use(format!("{who} sits at {name}.")).with("station", name));
    }
    if station.pots.values().any(|pot| pot.batch.is_some()) {
        return Err(in_use(format!("A pot at {name} has something in it.")));
    }
    if let Some((load, _)) = state.loads_at(id).next() {
        return Err(in_use(format!("Load {load} is in {name}.")));
    }
    Ok(station)
}

fn change_station(state: &State, id: &StationId, plan: &Station) -> Decision {
    let station = find::station(state, id)?;
    let seated = station.seats.len();
    if usize::try_from(plan.seats).unwrap_or(usize::MAX) < seated {
        return Err(in_use(format!(
            "{seated} helpers sit at {}.",
            station.plan.name
        )));
    }
    let same_nature =
        std::mem::discriminant(&plan.nature) == std::mem::discriminant(&station.plan.nature);
    let loaded = state.loads_at(id).next().is_some();
    if !same_nature || loaded && plan.nature != station.plan.nature {
        idle(state, id)?;
    }
    if let Nature::Vessel { pots, .. } = &plan.nature {
        let gone = station
            .pots
            .iter()
            .find(|(pot, found)| found.batch.is_some() && !pots.contains_key(*pot));
        if let Some((pot, _)) = gone {
            return Err(in_use(format!("The pot {pot} has something in it.")));
        }
    }
    Ok(vec![Event::StationChanged {
        station: id.clone(),
        plan: Box::new(plan.clone()),
    }])
}

fn retire_station(state: &State, id: &StationId) -> Decision {
    let station = idle(state, id)?;
    if state.standing_at(id) > Amount::ZERO {
        return Err(in_use(format!("Work waits at {}.", station.plan.name)));
    }
    Ok(vec![Event::StationRetired {
        station: id.clone(),
    }])
}

fn set_up(state: &State, id: &StationId, instead_of: Option<&StationId>) -> Decision {
    let station = find::station(state, id)?;
    if station.set_up {
        return Err(Refusal::new(
            Code::WrongPhase,
            format!("{} is set up already.", station.plan.name),
            "Nothing to do.",
        )
        .with("station", &station.plan.name));
    }
    let mut events = Vec::new();
    if let Some(other) = instead_of
        && idle(state, other)?.set_up
    {
        events.push(Event::StationPutAway {
            station: other.clone(),
        });
    }
    events.push(Event::StationSetUp {
        station: id.clone(),
    });
    Ok(events)
}

fn add_helper(state: &State, id: &HelperId, plan: &Helper) -> Decision {
    free_id(state.helpers.contains_key(id), id.as_str())?;
    Ok(vec![Event::HelperAdded {
        helper: id.clone(),
        plan: plan.clone(),
    }])
}

fn change_helper(state: &State, id: &HelperId, plan: &Helper) -> Decision {
    find::helper(state, id)?;
    if !plan.is_adult() && !state.children_beside(id).is_empty() {
        return Err(super::seats::depended(state, id));
    }
    Ok(vec![Event::HelperChanged {
        helper: id.clone(),
        plan: plan.clone(),
    }])
}

fn retire_helper(state: &State, id: &HelperId) -> Decision {
    let helper = find::helper(state, id)?;
    if helper.station.is_some() {
        return Err(in_use(format!("{} has a seat.", helper.plan.name)));
    }
    if !state.children_beside(id).is_empty() || !state.pots_minded(id).is_empty() {
        return Err(super::seats::depended(state, id));
    }
    Ok(vec![Event::HelperRetired { helper: id.clone() }])
}

/// Work that waits keeps its station and its measure.
fn change_product(state: &State, id: &ProductId, plan: &Product) -> Decision {
    let product = find::product(state, id)?;
    for step in &product.plan.route {
        let place = Place {
            product: id.clone(),
            station: step.station.clone(),
        };
        let later = plan.route.iter().position(|s| s.station == step.station);
        let behind = later
            .zip(state.canner_step(plan))
            .is_some_and(|(at, canner)| at > canner);
        let kept = later.is_some_and(|at| plan.route[at].measure == step.measure)
            && plan.ends_in == product.plan.ends_in
            && product
                .plan
                .all_produce()
                .all(|produce| plan.may_hold(produce))
            && behind == state.is_after_canner(id, &step.station);
        if state.is_busy(&place) && !kept {
            return Err(in_use(format!(
                "Work waits at {} in {}.",
                state.station_name(&step.station),
                step.measure.symbol()
            )));
        }
    }
    let unchecked = state.loads.values().any(|load| {
        let stations = |plan: &Product| {
            let canner = state.canner_step(plan);
            canner.map(|at| {
                plan.route.get(at..).map(|steps| {
                    steps
                        .iter()
                        .map(|step| step.station.clone())
                        .collect::<Vec<_>>()
                })
            })
        };
        let stands = load.unchecked().keys().any(|(of, _)| *of == id);
        stands && stations(plan) != stations(&product.plan)
    });
    if unchecked {
        return Err(in_use(format!(
            "Jars of {} stand on the rack with their seals unchecked.",
            product.plan.name
        )));
    }
    Ok(vec![Event::ProductChanged {
        product: id.clone(),
        plan: Box::new(plan.clone()),
    }])
}

fn retire_product(state: &State, id: &ProductId) -> Decision {
    let product = find::product(state, id)?;
    let busy = product.plan.route.iter().find(|step| {
        state.is_busy(&Place {
            product: id.clone(),
            station: step.station.clone(),
        })
    });
    if let Some(step) = busy {
        let place = state.station_name(&step.station);
        return Err(in_use(format!("Work of it waits at {place}.")));
    }
    Ok(vec![Event::ProductRetired {
        product: id.clone(),
    }])
}

fn change_lot(state: &State, id: &LotId, plan: &Lot) -> Decision {
    let lot = find::lot(state, id)?;
    let unopened = lot.unopened + (plan.amount - lot.plan.amount);
    if unopened < Amount::ZERO {
        return Err(in_use(format!(
            "{} of {} are out of their boxes already.",
            lot.plan.amount - lot.unopened,
            lot.plan.name
        )));
    }
    let renamed = plan.produce != lot.plan.produce || plan.measure != lot.plan.measure;
    if renamed && state.all_flows().any(|(_, _, of, _)| of == id) {
        return Err(in_use(format!("{} is in work.", lot.plan.name)));
    }
    Ok(vec![Event::LotChanged {
        lot: id.clone(),
        plan: plan.clone(),
    }])
}

fn retire_lot(state: &State, id: &LotId) -> Decision {
    let lot = find::lot(state, id)?;
    let busy = state.all_flows().any(|(_, _, of, flow)| {
        of == id && (flow.waiting() > Amount::ZERO || flow.inside > Amount::ZERO)
    });
    if busy {
        return Err(in_use(format!("{} is in work.", lot.plan.name)));
    }
    Ok(vec![Event::LotRetired { lot: id.clone() }])
}

fn change_supply(state: &State, id: &SupplyId, plan: &Supply) -> Decision {
    let supply = find::supply(state, id)?;
    if plan.stock != supply.plan.stock {
        return Err(find::bad(
            "The count of a stock is not changed here.",
            "Bring more of it, or count it again.",
        ));
    }
    Ok(vec![Event::SupplyChanged {
        supply: id.clone(),
        plan: plan.clone(),
    }])
}
