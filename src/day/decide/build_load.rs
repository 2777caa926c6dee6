//! Orders that put jars into a canner: what fits, what may share a load, and which process it gets.
//!
//! Only jars that are fresh and confirmed go in, and only by a process that is tested for each of
//! them at this altitude; the load gets the longest.

use super::loads::in_phase;
use super::tally::take_waiting;
use super::{Decision, find, may_handle};
use crate::day::amount::Amount;
use crate::day::command::{Command, LoadJars, Moment, Role};
use crate::day::event::{Event, LoadPart, LoadProcess, Portion};
use crate::day::ids::*;
use crate::day::plan::{Canner, Ending, Nature};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{LoadPhase, State, StationState};
use crate::day::time::{HOUR_MS, Timestamp};
use crate::trade::{self, Jar, Method, Pack, TestedProcess};
use std::collections::BTreeSet;

/// Filled jars that stood longer are not fresh. The published limit for food that was processed
/// wrongly, to be canned again at all, is two hours (University of Nebraska-Lincoln Extension);
/// the same limit is taken for jars that were not processed yet.
const FRESH_HOURS: i64 = 2;

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::BuildLoad {
            load,
            station,
            canner,
            jars,
            mixed,
        } => {
            if state.loads.contains_key(load) {
                return Err(id_taken(load));
            }
            let found = find_canner(state, station, canner)?;
            canner_free(state, station, (canner, found.canner))?;
            Ok(vec![build(state, moment, load, &found, (jars, *mixed))?])
        }
        Command::ChangeLoad { load, jars, mixed } => change(state, moment, load, (jars, *mixed)),
        Command::CancelLoad { load } => {
            in_phase(state, load, &[LoadPhase::Loading])?;
            Ok(vec![Event::LoadCancelled { load: load.clone() }])
        }
        Command::ConfirmJars {
            product,
            acid,
            sterile,
            helper,
        } => confirm(state, moment, product, (*acid, *sterile), helper.as_ref()),
        other => unreachable!("{other:?} does not put jars into a canner"),
    }
}

fn id_taken(load: &LoadId) -> Refusal {
    Refusal::new(
        Code::IdTaken,
        format!("There is a load {load} already."),
        "Give the new load another id.",
    )
}

/// A canner at its station.
pub(super) struct Found<'a> {
    pub station_id: &'a StationId,
    pub station: &'a StationState,
    method: Method,
    canner_id: &'a CannerId,
    canner: &'a Canner,
}

pub(super) fn find_canner<'a>(
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
    moment: &Moment,
    load: &LoadId,
    found: &Found<'_>,
    (jars, mixed): (&[LoadJars], bool),
) -> Result<Event, Refusal> {
    let wanted = wanted_jars(state, jars)?;
    fits(found.canner, &wanted)?;
    let tested = tested_each(state, found.method, &wanted)?;
    let process = longest(state, &wanted, &tested)?;
    alike(moment, &wanted, mixed)?;
    let mut parts = Vec::new();
    for (entry, tested) in jars.iter().zip(&tested) {
        let step = find::step(state, &entry.product, found.station_id)?;
        let amount = Amount::whole(i64::from(entry.jars));
        let portions = take_waiting(state, &entry.product, step, entry.lot.as_ref(), amount)?;
        let drawn: Vec<&Portion> = portions.iter().collect();
        fresh(state, moment.now, &entry.product, &drawn)?;
        confirmed(state, moment.role, &entry.product, tested, &portions)?;
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

/// The tested process of each kind of jar, at this altitude.
fn tested_each(
    state: &State,
    method: Method,
    wanted: &[Wanted],
) -> Result<Vec<TestedProcess>, Refusal> {
    let altitude_ft = state.altitude_ft.ok_or_else(|| {
        Refusal::new(
            Code::NoAltitude,
            "The altitude of this kitchen is not set, so no process time can be looked up.",
            "The lead sets the altitude of the kitchen first.",
        )
    })?;
    let each = wanted.iter().map(|jars| {
        trade::tested(&jars.food, jars.pack, jars.jar, method, altitude_ft)
            .map_err(|reason| no_tested(&jars.name, &reason))
    });
    each.collect()
}

/// The process of a load: the longest any of its jars needs. Pressures must be the same.
fn longest(
    state: &State,
    wanted: &[Wanted],
    tested: &[TestedProcess],
) -> Result<LoadProcess, Refusal> {
    let mut longest: Option<LoadProcess> = None;
    for (jars, tested) in wanted.iter().zip(tested) {
        if let Some(so_far) = &longest {
            if tested.psi != so_far.tested.psi {
                return Err(unlike_pressure(state, jars, so_far));
            }
            if tested.minutes <= so_far.tested.minutes {
                continue;
            }
        }
        longest = Some(LoadProcess {
            tested: tested.clone(),
            decided_by: jars.product.clone(),
            jar: jars.jar,
        });
    }
    longest.ok_or_else(|| find::bad("A load needs jars.", "Say what goes in."))
}

fn unlike_pressure(state: &State, jars: &Wanted, so_far: &LoadProcess) -> Refusal {
    Refusal::new(
        Code::UnlikePressure,
        format!(
            "{} needs another pressure than {}.",
            jars.name,
            state.product_name(&so_far.decided_by)
        ),
        "Process them in two loads.",
    )
    .with("product", &jars.name)
}

/// Raw and hot packs begin in water of different heat, so they never share a load. Other mixtures
/// of one method are common practice at the longest time; the lead confirms each once.
fn alike(moment: &Moment, wanted: &[Wanted], mixed: bool) -> Result<(), Refusal> {
    let packs: BTreeSet<Pack> = wanted.iter().map(|jars| jars.pack).collect();
    if packs.len() > 1 {
        return Err(Refusal::new(
            Code::UnlikePacks,
            "Raw-packed and hot-packed jars would share a load.",
            "Process them in two loads: the water begins at 140 °F for raw packs and at 180 °F for hot packs.",
        ));
    }
    let kinds: BTreeSet<(&str, Jar)> = wanted
        .iter()
        .map(|jars| (jars.food.as_str(), jars.jar))
        .collect();
    if kinds.len() <= 1 || mixed && moment.role == Role::Lead {
        return Ok(());
    }
    let names: Vec<&str> = wanted.iter().map(|jars| jars.name.as_str()).collect();
    Err(Refusal::new(
        Code::MixedLoad,
        format!("{} would share a load.", names.join(" and ")),
        "The lead confirms a mixed load: all of it gets the longest time any of its jars needs.",
    )
    .with("products", names.join(", ")))
}

/// Jars that were filled and left are not offered to a canner as if fresh.
pub(super) fn fresh(
    state: &State,
    now: Timestamp,
    product: &ProductId,
    portions: &[&Portion],
) -> Result<(), Refusal> {
    let oldest = portions.iter().flat_map(|portion| &portion.layers);
    let Some(since) = oldest.map(|layer| layer.since).min() else {
        return Ok(());
    };
    if now.ms_since(since) <= FRESH_HOURS * HOUR_MS {
        return Ok(());
    }
    let (name, stood) = (state.product_name(product), now.words_since(since));
    Err(Refusal::new(
        Code::JarsStood,
        format!("Jars of {name} were filled {stood} ago, too long to be processed as fresh."),
        "Put them into the refrigerator or the freezer, or send them back to be emptied, heated again and filled anew.",
    )
    .with("product", name)
    .with("stood", stood))
}

/// What the tested process asks of each jar was confirmed after the last of them was filled.
fn confirmed(
    state: &State,
    role: Role,
    product: &ProductId,
    tested: &TestedProcess,
    portions: &[Portion],
) -> Result<(), Refusal> {
    let found = find::product(state, product)?;
    let youngest = portions.iter().flat_map(|portion| &portion.layers);
    let youngest = youngest.map(|layer| layer.since).max();
    // A jar filled in the very moment of the confirmation is asked about again.
    let covered = |until: Option<Timestamp>| youngest < until;
    let name = &found.plan.name;
    // The lead may confirm with one tap; a helper's device adds whose hands they are.
    let offered = |refusal: Refusal, acid: bool, sterile: bool| match role {
        Role::Lead => refusal.offering(Command::ConfirmJars {
            product: product.clone(),
            acid,
            sterile,
            helper: None,
        }),
        Role::Helper | Role::Watcher => refusal,
    };
    if let Some(acid) = &tested.acid
        && !covered(found.acid_until)
    {
        let refusal = Refusal::new(
            Code::AcidUnconfirmed,
            format!("Nobody has confirmed the acid in these jars of {name}."),
            format!("Each jar needs {acid}. Look at every jar, then confirm; empty and fill again any you are not sure of."),
        )
        .with("product", name)
        .with("acid", acid)
        ;
        return Err(offered(refusal, true, false));
    }
    if tested.sterilise_jars && !covered(found.sterile_until) {
        let refusal = Refusal::new(
            Code::JarsUnsterile,
            format!("{name} is processed so shortly that its jars must be sterilised, and nobody has confirmed it."),
            "Confirm that the jars were boiled before filling; if not, empty them, sterilise the jars and fill again.",
        )
        .with("product", name)
        ;
        return Err(offered(refusal, false, true));
    }
    Ok(())
}

fn confirm(
    state: &State,
    moment: &Moment,
    id: &ProductId,
    (acid, sterile): (bool, bool),
    helper: Option<&HelperId>,
) -> Decision {
    let product = find::product(state, id)?;
    let name = &product.plan.name;
    let place = state.canner_step(&product.plan);
    let Some(step) = place.and_then(|index| product.plan.route.get(index)) else {
        return Err(Refusal::new(
            Code::WrongStation,
            format!("{name} is not canned."),
            "Nothing to confirm.",
        )
        .with("product", name));
    };
    if !acid && !sterile {
        return Err(find::bad(
            "Nothing was confirmed.",
            "Say whether the acid is in, or the jars were sterilised.",
        ));
    }
    if state.waiting_at(&step.station, id) == Amount::ZERO {
        return Err(Refusal::new(
            Code::NotEnough,
            format!("No jars of {name} wait at the canner."),
            "Fill the jars first, then confirm them.",
        )
        .with("product", name));
    }
    find::whose_hands(moment, helper)?;
    if let Some(helper) = helper {
        may_handle(state, &step.station, helper)?;
    }
    Ok(vec![Event::JarsConfirmed {
        product: id.clone(),
        acid,
        sterile,
        helper: helper.cloned(),
    }])
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

fn change(
    state: &State,
    moment: &Moment,
    id: &LoadId,
    (jars, mixed): (&[LoadJars], bool),
) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Loading])?;
    let cancelled = Event::LoadCancelled { load: id.clone() };
    let mut after = state.clone();
    crate::day::apply(&mut after, moment.now, moment.command, &cancelled);
    let found = find_canner(&after, &load.station, &load.canner)?;
    let built = build(&after, moment, id, &found, (jars, mixed))?;
    Ok(vec![cancelled, built])
}
