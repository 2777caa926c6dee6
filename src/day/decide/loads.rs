//! Orders about a load on the heat. The time runs only from a boil somebody saw (or a pressure
//! reached after venting), and is never cut short without the lead saying so.

use super::build_load::{find_canner, fresh};
use super::{Decision, find, may_handle, pass_on, seats};
use crate::day::amount::Amount;
use crate::day::command::{Command, LoadJars, Moment, ShortFate};
use crate::day::event::{Event, Onward};
use crate::day::ids::*;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{Load, LoadPhase, State};
use crate::day::time::{HOUR_MS, MINUTE_MS, Timestamp};
use crate::trade;
use std::collections::BTreeMap;

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::TimeUnknown { ms } => time_unknown(state, *ms),
        Command::HeatLoad { load, helper } => heat(state, moment, load, helper.as_ref()),
        Command::Vent { load, helper } => vent(state, moment, load, helper.as_ref()),
        Command::RollingBoil { load, helper } => boil(state, moment, load, helper.as_ref()),
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
        Command::PressureZero { load, helper } => {
            pressure_zero(state, moment, load, helper.as_ref())
        }
        Command::LiftLoad {
            load,
            helper,
            broken,
            fate,
        } => lift(state, (moment, load), helper.as_ref(), broken, *fate),
        other => unreachable!("{other:?} is not about a load on the heat"),
    }
}

pub(super) fn find_load<'a>(state: &'a State, id: &LoadId) -> Result<&'a Load, Refusal> {
    state
        .loads
        .get(id)
        .ok_or_else(|| find::unknown("load", id.as_str()))
}

pub(super) fn in_phase<'a>(
    state: &'a State,
    id: &LoadId,
    phases: &[LoadPhase],
) -> Result<&'a Load, Refusal> {
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
        LoadPhase::Venting => (
            "is being vented",
            "Let steam come for the whole venting time, then close the vent and tap when the pressure is reached.",
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

fn heat(state: &State, moment: &Moment, id: &LoadId, helper: Option<&HelperId>) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Loading])?;
    let found = find_canner(state, &load.station, &load.canner)?;
    hands(state, moment, load, helper)?;
    seats::resources_free(state, found.station)?;
    room_to_cool(state, load)?;
    for part in &load.jars {
        fresh(state, moment.now, &part.product, &[&part.portion])?;
    }
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
    let load = in_phase(
        state,
        id,
        &[LoadPhase::Heating, LoadPhase::Venting, LoadPhase::Timing],
    )?;
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
    no_pressure(load, id, moment.now)?;
    broken_in_load(state, load, broken)?;
    if load.short && fate.is_none() {
        return Err(Refusal::new(
            Code::NeedsFate,
            "These jars did not have their whole time and are not safe on a shelf.",
            "Say what becomes of them: the refrigerator, the freezer, or a new load for the whole time.",
        )
        .with("load", id));
    }
    if fate == Some(ShortFate::Reprocess) {
        in_time_to_reprocess(load, moment.now)?;
    }
    if !load.short && fate.is_some() {
        return Err(find::bad(
            "These jars had their whole time.",
            "Lift them onto the cooling rack.",
        ));
    }
    Ok(vec![Event::LoadLifted {
        load: id.clone(),
        broken: with_lots(load, broken),
        fate,
    }])
}

/// Food whose process was not full may be canned again within the published time only.
fn in_time_to_reprocess(load: &Load, now: Timestamp) -> Result<(), Refusal> {
    let hours = trade::underprocessed_hours().value;
    let until = load.heat_off_at.map(|at| at.plus_minutes(hours * 60));
    if until.is_some_and(|until| now <= until) {
        return Ok(());
    }
    Err(Refusal::new(
        Code::TooLate,
        format!("These jars went off the heat more than {hours} hours ago."),
        "Put them into the refrigerator or the freezer.",
    )
    .with("hours", hours))
}

/// Broken jars with their lots: of those not named, the lots are taken in the order of the load.
fn with_lots(load: &Load, broken: &[LoadJars]) -> Vec<LoadJars> {
    let mut named = Vec::new();
    for entry in broken {
        let mut left = Amount::whole(i64::from(entry.jars));
        let parts = load.jars.iter().filter(|part| {
            let same_lot = entry
                .lot
                .as_ref()
                .is_none_or(|lot| *lot == part.portion.lot);
            part.product == entry.product && same_lot
        });
        for part in parts {
            let here = left.at_most(part.portion.amount());
            left -= here;
            let jars = u32::try_from(here.0 / 1000).unwrap_or_default();
            if jars > 0 {
                named.push(LoadJars {
                    product: entry.product.clone(),
                    lot: Some(part.portion.lot.clone()),
                    jars,
                });
            }
        }
    }
    named
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

fn wrong_canner(load: &LoadId) -> Refusal {
    Refusal::new(
        Code::WrongStation,
        format!("Load {load} is not in a pressure canner."),
        "Tap the full rolling boil when you see it.",
    )
    .with("load", load)
}

fn vent(state: &State, moment: &Moment, id: &LoadId, helper: Option<&HelperId>) -> Decision {
    // Venting may begin anew: the plume was lost, or tapped too early.
    let load = in_phase(state, id, &[LoadPhase::Heating, LoadPhase::Venting])?;
    hands(state, moment, load, helper)?;
    if !load.is_pressure() {
        return Err(wrong_canner(id));
    }
    Ok(vec![Event::VentBegan { load: id.clone() }])
}

/// The time starts: at the boil somebody saw, or at the pressure after full venting. A canner that
/// lost its pressure stayed closed and need not be vented again.
fn boil(state: &State, moment: &Moment, id: &LoadId, helper: Option<&HelperId>) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Heating, LoadPhase::Venting])?;
    hands(state, moment, load, helper)?;
    if load.is_pressure() {
        vented(load, id, moment.now)?;
    }
    Ok(vec![Event::BoilReached { load: id.clone() }])
}

fn vented(load: &Load, id: &LoadId, now: Timestamp) -> Result<(), Refusal> {
    let minutes = trade::vent_minutes().value;
    let (detail, left) = match load.vented_at {
        None => ("The canner was not vented.".to_owned(), i64::from(minutes)),
        Some(began) => {
            let left_ms = began.plus_minutes(minutes).ms_since(now);
            if left_ms <= 0 {
                return Ok(());
            }
            let left = (left_ms + MINUTE_MS - 1) / MINUTE_MS;
            (
                format!("{left} of {minutes} minutes of venting are left."),
                left,
            )
        }
    };
    Err(Refusal::new(
        Code::NotVented,
        detail,
        format!("Let a steady plume of steam come out for {minutes} minutes, then close the vent: trapped air makes the canner cooler than its gauge says."),
    )
    .with("load", id)
    .with("minutes", left))
}

fn pressure_zero(
    state: &State,
    moment: &Moment,
    id: &LoadId,
    helper: Option<&HelperId>,
) -> Decision {
    let load = in_phase(state, id, &[LoadPhase::Resting])?;
    hands(state, moment, load, helper)?;
    if !load.is_pressure() || load.zero_at.is_some() {
        return Err(Refusal::new(
            Code::WrongPhase,
            format!("Load {id} is under no pressure."),
            "Lift the jars out once they have stood.",
        )
        .with("load", id));
    }
    Ok(vec![Event::PressureFell { load: id.clone() }])
}

/// A pressure canner is opened only after its pressure fell by itself and it stood.
fn no_pressure(load: &Load, id: &LoadId, now: Timestamp) -> Result<(), Refusal> {
    if !load.is_pressure() {
        return Ok(());
    }
    let minutes = trade::depressurise_minutes().value;
    let open_at = load.zero_at.map(|at| at.plus_minutes(minutes));
    if open_at.is_some_and(|at| now >= at) {
        return Ok(());
    }
    Err(Refusal::new(
        Code::StillUnderPressure,
        match open_at {
            None => "The pressure has not come to zero yet.".to_owned(),
            Some(at) => format!("It has stood too shortly: {} are left.", at.words_since(now)),
        },
        format!("Never force it: let the pressure fall by itself, take the weight off, wait {minutes} minutes, then open the lid away from you."),
    )
    .with("load", id))
}

/// A span of more than ten years is no span somebody slept through, and no number for a clock.
pub const UNKNOWN_MS_MAX: i64 = 10 * 366 * 24 * HOUR_MS;

fn time_unknown(state: &State, ms: i64) -> Decision {
    let waits = |load: &Load| match load.phase {
        LoadPhase::Timing | LoadPhase::Venting => true,
        LoadPhase::Resting => load.zero_at.is_some(),
        LoadPhase::Loading | LoadPhase::Heating | LoadPhase::Lifted | LoadPhase::Cancelled => false,
    };
    if !state.loads.values().any(waits) {
        return Err(Refusal::new(
            Code::WrongPhase,
            "No load is being timed.",
            "Nothing to do.",
        ));
    }
    if !(1..=UNKNOWN_MS_MAX).contains(&ms) {
        return Err(find::bad(
            format!("{ms} ms is no span a board was off."),
            "Say more than nothing and at most ten years.",
        ));
    }
    Ok(vec![Event::TimeWasUnknown { ms }])
}
