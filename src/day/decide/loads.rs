//! Orders about canner loads. The time runs only from a boil somebody saw, and is never cut short
//! without the lead saying so.

use super::tally::take_waiting;
use super::{Decision, find, may_handle, pass_on, seats};
use crate::day::amount::Amount;
use crate::day::command::{Command, LoadJars, Moment, ShortFate};
use crate::day::event::{Event, LoadPart, LoadProcess, Onward};
use crate::day::ids::*;
use crate::day::plan::{Canner, Ending, Nature};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{Load, LoadPhase, State, StationState};
use crate::day::time::MINUTE_MS;
use crate::trade::{self, Jar, Method, Pack};
use std::collections::BTreeMap;

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::BuildLoad {
            load,
            station,
            canner,
            jars,
        } => {
            if state.loads.contains_key(load) {
                return Err(id_taken(load));
            }
            let found = find_canner(state, station, canner)?;
            canner_free(state, station, (canner, found.canner))?;
            Ok(vec![build(state, load, &found, jars)?])
        }
        Command::ChangeLoad { load, jars } => change(state, load, jars, moment),
        Command::CancelLoad { load } => {
            in_phase(state, load, &[LoadPhase::Loading])?;
            Ok(vec![Event::LoadCancelled { load: load.clone() }])
        }
        Command::HeatLoad { load, helper } => heat(state, moment, load, helper.as_ref()),
        Command::RollingBoil { load, helper } => {
            let found = in_phase(state, load, &[LoadPhase::Heating])?;
            hands(state, moment, found, helper.as_ref())?;
            Ok(vec![Event::BoilReached { load: load.clone() }])
        }
        Command::BoilLost { load, helper } => {
            let found = in_phase(state, load, &[LoadPhase::Timing])?;
            hands(state, moment, found, helper.as_ref())?;
            Ok(vec![Event::BoilWasLost { load: load.clone() }])
        }
        Command::HeatOff {
            load,
            helper,
            end_early,
        } => heat_off(state, moment, load, helper.as_ref(), *end_early),
        Command::LiftLoad {
            load,
            helper,
            broken,
            fate,
        } => lift(state, (moment, load), helper.as_ref(), broken, *fate),
        other => unreachable!("{other:?} is not about loads"),
    }
}

fn id_taken(load: &LoadId) -> Refusal {
    Refusal::new(
        Code::IdTaken,
        format!("There is a load {load} already."),
        "Give the new load another id.",
    )
}

fn find_load<'a>(state: &'a State, id: &LoadId) -> Result<&'a Load, Refusal> {
    state
        .loads
        .get(id)
        .ok_or_else(|| find::unknown("load", id.as_str()))
}

fn in_phase<'a>(state: &'a State, id: &LoadId, phases: &[LoadPhase]) -> Result<&'a Load, Refusal> {
    let load = find_load(state, id)?;
    if phases.contains(&load.phase) {
        return Ok(load);
    }
    let (now, instead) = match load.phase {
        LoadPhase::Loading => ("is being loaded", "Put it on the heat first."),
        LoadPhase::Heating => (
            "is coming up to heat",
            "Wait for a full rolling boil (or the set pressure) and tap that; the time starts there.",
        ),
        LoadPhase::Timing => (
            "is being timed",
            "Leave it until the time is over; tap if the boil is lost.",
        ),
        LoadPhase::Resting => ("is resting with the heat off", "Lift the jars out."),
        LoadPhase::Lifted => ("is out of the canner", "Nothing to do with it here."),
        LoadPhase::Cancelled => ("was taken apart", "Build a new load."),
    };
    Err(Refusal::new(Code::WrongPhase, format!("Load {id} {now}."), instead).with("load", id))
}

/// A canner at its station.
struct Found<'a> {
    station_id: &'a StationId,
    station: &'a StationState,
    method: Method,
    canner_id: &'a CannerId,
    canner: &'a Canner,
}

fn find_canner<'a>(
    state: &'a State,
    station_id: &'a StationId,
    canner_id: &'a CannerId,
) -> Result<Found<'a>, Refusal> {
    let station = find::ready_station(state, station_id)?;
    let Nature::Canner { method, canners } = &station.plan.nature else {
        return Err(Refusal::new(
            Code::WrongStation,
            format!("{} has no canners.", station.plan.name),
            "Choose a station with canners.",
        )
        .with("station", &station.plan.name));
    };
    let canner = canners.get(canner_id);
    Ok(Found {
        station_id,
        station,
        method: *method,
        canner_id,
        canner: canner.ok_or_else(|| find::unknown("canner", canner_id.as_str()))?,
    })
}

fn canner_free(
    state: &State,
    station: &StationId,
    (id, canner): (&CannerId, &Canner),
) -> Result<(), Refusal> {
    let Some((load, _)) = state.load_in(station, id) else {
        return Ok(());
    };
    Err(Refusal::new(
        Code::CannerBusy,
        format!("{} has load {load} in it.", canner.name),
        "Wait until it is lifted, or change that load before it is heated.",
    )
    .with("canner", &canner.name)
    .with("load", load))
}

fn build(
    state: &State,
    load: &LoadId,
    found: &Found<'_>,
    jars: &[LoadJars],
) -> Result<Event, Refusal> {
    let wanted = wanted_jars(state, jars)?;
    fits(found.canner, &wanted)?;
    let process = process_for(state, found.method, &wanted)?;
    let mut parts = Vec::new();
    for entry in jars {
        let step = find::step(state, &entry.product, found.station_id)?;
        let amount = Amount::whole(i64::from(entry.jars));
        let portions = take_waiting(state, &entry.product, step, entry.lot.as_ref(), amount)?;
        parts.extend(portions.into_iter().map(|portion| LoadPart {
            product: entry.product.clone(),
            portion,
        }));
    }
    Ok(Event::LoadBuilt {
        load: load.clone(),
        station: found.station_id.clone(),
        canner: found.canner_id.clone(),
        jars: parts,
        process,
    })
}

/// One kind of jar in a load.
struct Wanted {
    product: ProductId,
    name: String,
    food: String,
    pack: Pack,
    jar: Jar,
    count: u32,
}

/// The jars asked for, each product once, so that none is drawn twice.
fn wanted_jars(state: &State, jars: &[LoadJars]) -> Result<Vec<Wanted>, Refusal> {
    let mut seen = Vec::new();
    let mut wanted = Vec::new();
    for entry in jars {
        let plan = &find::product(state, &entry.product)?.plan;
        let Ending::Canned { food, pack, jar } = &plan.ends_in else {
            return Err(Refusal::new(
                Code::NoTestedProcess,
                format!("{} is not canned.", plan.name),
                "Leave it out of the load.",
            )
            .with("product", &plan.name));
        };
        let key = (&entry.product, &entry.lot);
        let all_lots = (&entry.product, &None);
        if seen.contains(&key) || (entry.lot.is_some() && seen.contains(&all_lots)) {
            return Err(find::bad(
                format!("{} is named twice in the load.", plan.name),
                "Name each product and lot once, with the number of its jars.",
            ));
        }
        if entry.lot.is_none() && seen.iter().any(|(product, _)| *product == &entry.product) {
            return Err(find::bad(
                format!("{} is named with and without a lot.", plan.name),
                "Name the lots, or none.",
            ));
        }
        seen.push(key);
        wanted.push(Wanted {
            product: entry.product.clone(),
            name: plan.name.clone(),
            food: food.clone(),
            pack: *pack,
            jar: *jar,
            count: entry.jars,
        });
    }
    if wanted.is_empty() || wanted.iter().any(|jars| jars.count == 0) {
        return Err(find::bad(
            "A load needs jars.",
            "Say how many jars of what go in; at least one of each.",
        ));
    }
    Ok(wanted)
}

/// Jars of several sizes share a canner by the part of it that each size takes.
fn fits(canner: &Canner, wanted: &[Wanted]) -> Result<(), Refusal> {
    let Canner { name, holds } = canner;
    let whole: u128 = holds.values().map(|n| u128::from((*n).max(1))).product();
    let mut used = 0;
    for jars in wanted {
        let Some(count) = holds.get(&jars.jar).filter(|count| **count > 0) else {
            return Err(Refusal::new(
                Code::OverCapacity,
                format!("{name} is not set up for {} jars.", jars.jar),
                format!("Ask the lead how many {} jars it takes.", jars.jar),
            )
            .with("canner", name)
            .with("jar", jars.jar));
        };
        used += u128::from(jars.count) * (whole / u128::from(*count));
    }
    if used <= whole {
        return Ok(());
    }
    let rows: Vec<String> = holds
        .iter()
        .map(|(jar, count)| format!("{count} {jar} jars"))
        .collect();
    Err(Refusal::new(
        Code::OverCapacity,
        format!("{name} does not take so many jars."),
        format!(
            "It takes {}; put the rest in the next load.",
            rows.join(" or ")
        ),
    )
    .with("canner", name))
}

/// The process of a load: the longest any of its jars needs, at this altitude.
fn process_for(state: &State, method: Method, wanted: &[Wanted]) -> Result<LoadProcess, Refusal> {
    let altitude_ft = state.altitude_ft.ok_or_else(|| {
        Refusal::new(
            Code::NoAltitude,
            "The altitude of this kitchen is not set, so no process time can be looked up.",
            "The lead sets the altitude of the kitchen first.",
        )
    })?;
    let mut longest: Option<LoadProcess> = None;
    for jars in wanted {
        let tested = trade::tested(&jars.food, jars.pack, jars.jar, method, altitude_ft)
            .map_err(|reason| no_tested(&jars.name, &reason))?;
        let Some(so_far) = &longest else {
            longest = Some(process(jars, tested));
            continue;
        };
        if tested.psi != so_far.tested.psi {
            return Err(Refusal::new(
                Code::UnlikePressure,
                format!(
                    "{} needs another pressure than {}.",
                    jars.name,
                    state.product_name(&so_far.decided_by)
                ),
                "Process them in two loads.",
            )
            .with("product", &jars.name));
        }
        if tested.minutes > so_far.tested.minutes {
            longest = Some(process(jars, tested));
        }
    }
    longest.ok_or_else(|| find::bad("A load needs jars.", "Say what goes in."))
}

fn process(jars: &Wanted, tested: trade::TestedProcess) -> LoadProcess {
    LoadProcess {
        tested,
        decided_by: jars.product.clone(),
        jar: jars.jar,
    }
}

/// The refusal for what has no tested process.
pub(crate) fn no_tested(name: &str, reason: &trade::NoTestedProcess) -> Refusal {
    Refusal::new(
        Code::NoTestedProcess,
        format!("{name} has no tested process here: {reason}"),
        reason.instead(),
    )
    .with("product", name)
    .with("reason", reason.code())
}

fn change(state: &State, id: &LoadId, jars: &[LoadJars], moment: &Moment) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Loading])?;
    let cancelled = Event::LoadCancelled { load: id.clone() };
    let mut after = state.clone();
    crate::day::apply(&mut after, moment.now, moment.command, &cancelled);
    let found = find_canner(&after, &load.station, &load.canner)?;
    let built = build(&after, id, &found, jars)?;
    Ok(vec![cancelled, built])
}

fn heat(state: &State, moment: &Moment, id: &LoadId, helper: Option<&HelperId>) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Loading])?;
    let found = find_canner(state, &load.station, &load.canner)?;
    hands(state, moment, load, helper)?;
    seats::resources_free(state, found.station)?;
    room_to_cool(state, load)?;
    Ok(vec![Event::LoadHeated { load: id.clone() }])
}

/// There must be room to cool before the heat goes on: hot jars cannot wait for a place.
fn room_to_cool(state: &State, load: &Load) -> Result<(), Refusal> {
    let mut more: BTreeMap<StationId, Amount> = BTreeMap::new();
    let hot = |other: &&Load| {
        other.is_in_canner() && other.phase != LoadPhase::Loading || std::ptr::eq(*other, load)
    };
    for load in state.loads.values().filter(hot) {
        for part in &load.jars {
            let step = find::step(state, &part.product, &load.station)?;
            if let Some(Onward::Step { station, .. }) =
                state.ways_on(&part.product, step).into_iter().next()
            {
                *more.entry(station).or_default() += part.portion.amount();
            }
        }
    }
    more.iter()
        .try_for_each(|(station, jars)| pass_on::room_at(state, station, *jars))
}

/// Whose hands are at the canner, and whether they may be.
fn hands(
    state: &State,
    moment: &Moment,
    load: &Load,
    helper: Option<&HelperId>,
) -> Result<(), Refusal> {
    find::whose_hands(moment, helper)?;
    match helper {
        Some(id) => may_handle(state, &load.station, id),
        None => Ok(()),
    }
}

fn heat_off(
    state: &State,
    moment: &Moment,
    id: &LoadId,
    helper: Option<&HelperId>,
    end_early: bool,
) -> Decision {
    let now = moment.now;
    let load = in_phase(state, id, &[LoadPhase::Heating, LoadPhase::Timing])?;
    hands(state, moment, load, helper)?;
    let full = load.done_at().is_some_and(|done| now >= done);
    if !full && !end_early {
        let minutes = load.process.tested.minutes;
        let (detail, left) = match load.done_at() {
            Some(done) => {
                let left = (done.ms_since(now) + MINUTE_MS - 1) / MINUTE_MS;
                (format!("{left} of {minutes} minutes are left."), left)
            }
            None => (
                format!("The {minutes} minutes have not begun: no full boil was tapped."),
                i64::from(minutes),
            ),
        };
        return Err(Refusal::new(
            Code::TimeNotOver,
            detail,
            "Leave the heat on. Only the lead can end a load early, and its jars are then not for the shelf.",
        )
        .with("load", id)
        .with("minutes", left));
    }
    Ok(vec![Event::HeatTurnedOff {
        load: id.clone(),
        short: !full,
    }])
}

fn lift(
    state: &State,
    (moment, id): (&Moment, &LoadId),
    helper: Option<&HelperId>,
    broken: &[LoadJars],
    fate: Option<ShortFate>,
) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Resting])?;
    hands(state, moment, load, helper)?;
    broken_in_load(state, load, broken)?;
    if load.short && fate.is_none() {
        return Err(Refusal::new(
            Code::NeedsFate,
            "These jars did not have their whole time and are not safe on a shelf.",
            "Say what becomes of them: the refrigerator, the freezer, or a new load for the whole time.",
        )
        .with("load", id));
    }
    if !load.short && fate.is_some() {
        return Err(find::bad(
            "These jars had their whole time.",
            "Lift them onto the cooling rack.",
        ));
    }
    Ok(vec![Event::LoadLifted {
        load: id.clone(),
        broken: broken.to_vec(),
        fate,
    }])
}

fn broken_in_load(state: &State, load: &Load, broken: &[LoadJars]) -> Result<(), Refusal> {
    for (index, entry) in broken.iter().enumerate() {
        let matches = |other: &LoadJars| {
            other.product == entry.product
                && (other.lot.is_none() || entry.lot.is_none() || other.lot == entry.lot)
        };
        let twice = broken[..index].iter().any(matches);
        let there: Amount = load
            .jars
            .iter()
            .filter(|part| {
                part.product == entry.product
                    && entry
                        .lot
                        .as_ref()
                        .is_none_or(|lot| *lot == part.portion.lot)
            })
            .map(|part| part.portion.amount())
            .sum();
        let count = Amount::whole(i64::from(entry.jars));
        if twice || entry.jars == 0 || count > there {
            return Err(find::bad(
                format!(
                    "{} broken jars of {} cannot be of this load.",
                    entry.jars,
                    state.product_name(&entry.product)
                ),
                format!("It has {there}; name each product and lot once."),
            ));
        }
    }
    Ok(())
}
