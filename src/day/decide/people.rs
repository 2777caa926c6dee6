//! Orders about people: coming, going, seats, breaks.

use super::seats::{can_stay_beside, depended, may_sit};
use super::{Decision, find, may_handle, verdict};
use crate::day::command::{Command, Moment};
use crate::day::event::Event;
use crate::day::ids::{HelperId, PotId, StationId};
use crate::day::plan::Verdict;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{Cooking, HelperState, Presence, State};

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::Arrive { helper } => arrive(state, helper),
        Command::GoHome { helper, hurry } => go_home(state, helper, *hurry),
        Command::Claim {
            helper,
            station,
            beside,
        } => claim(state, moment, helper, station, beside.as_ref()),
        Command::Leave { helper } => {
            let seat = seat_of(state, find::helper(state, helper)?)?;
            keeps_no_pot_alone(state, helper)?;
            Ok(vec![left(helper, seat)])
        }
        Command::Switch {
            helper,
            station,
            beside,
        } => switch(state, moment, helper, station, beside.as_ref()),
        Command::Swap {
            one,
            other,
            beside_one,
            beside_other,
        } => swap(
            state,
            moment,
            (one, beside_one.as_ref()),
            (other, beside_other.as_ref()),
        ),
        Command::TakeBreak { helper } => take_break(state, helper),
        Command::EndBreak { helper } => end_break(state, helper),
        Command::StayBeside { helper, adult } => stay_beside(state, helper, adult),
        other => unreachable!("{other:?} is not about people"),
    }
}

pub(super) fn left(helper: &HelperId, station: &StationId) -> Event {
    Event::SeatLeft {
        helper: helper.clone(),
        station: station.clone(),
    }
}

pub(super) fn taken(helper: &HelperId, station: &StationId, beside: Option<HelperId>) -> Event {
    Event::SeatTaken {
        helper: helper.clone(),
        station: station.clone(),
        beside,
    }
}

fn seat_of<'a>(state: &State, helper: &'a HelperState) -> Result<&'a StationId, Refusal> {
    let name = &helper.plan.name;
    helper.station.as_ref().ok_or_else(|| {
        let work = state.stations.iter().find(|(id, station)| {
            station.set_up && !station.retired && state.standing_at(id).0 > 0
        });
        let instead = work.map_or_else(
            || "Claim a station first.".to_owned(),
            |(_, station)| {
                format!(
                    "Claim a station first; work waits at {}.",
                    station.plan.name
                )
            },
        );
        Refusal::new(Code::NotSeated, format!("{name} has no seat."), instead).with("helper", name)
    })
}

/// Cooking pots a helper minds only because an adult stays beside their seat.
fn pots_with_adult<'a>(
    state: &'a State,
    id: &HelperId,
) -> Vec<(&'a StationId, &'a PotId, &'a Cooking)> {
    let rules = state.age_rules();
    let needs_adult = |station: &StationId| {
        let found = state.stations.get(station).zip(state.helpers.get(id));
        found.is_some_and(|(station, helper)| {
            verdict(&rules, &helper.plan, &station.plan) == Verdict::WithAdult
        })
    };
    let mut pots = state.pots_minded(id);
    pots.retain(|(station, ..)| needs_adult(station));
    pots
}

/// Somebody who may mind a pot only with an adult beside the seat keeps the seat or hands over.
fn keeps_no_pot_alone(state: &State, id: &HelperId) -> Result<(), Refusal> {
    if pots_with_adult(state, id).is_empty() {
        return Ok(());
    }
    Err(depended(state, id))
}

fn arrive(state: &State, id: &HelperId) -> Decision {
    let helper = find::helper(state, id)?;
    let name = &helper.plan.name;
    match helper.presence {
        Presence::Expected | Presence::Gone => {
            Ok(vec![Event::HelperArrived { helper: id.clone() }])
        }
        Presence::Here | Presence::Resting => Err(Refusal::new(
            Code::WrongPhase,
            format!("{name} is here already."),
            "Nothing to do; choose a station.",
        )
        .with("helper", name)),
    }
}

fn go_home(state: &State, id: &HelperId, hurry: bool) -> Decision {
    let helper = find::helper(state, id)?;
    if helper.presence == Presence::Gone {
        return Err(Refusal::new(
            Code::NotHere,
            format!("{} went home already.", helper.plan.name),
            "Nothing to do.",
        ));
    }
    let mut events = free_dependants(state, id, hurry)?;
    events.extend(helper.station.iter().map(|seat| left(id, seat)));
    events.push(Event::HelperWentHome { helper: id.clone() });
    Ok(events)
}

/// Children and pots that depend on somebody who goes. A backup takes the pot; in a hurry the
/// children leave their seats, and a pot without a backup is left unminded, which the lead is told.
pub(super) fn free_dependants(state: &State, id: &HelperId, hurry: bool) -> Decision {
    let children = state.children_beside(id);
    let pots = state.pots_minded(id);
    let has_backup = |(station, _, cooking): &(&StationId, &PotId, &Cooking)| {
        let backup = cooking.backup.as_ref().filter(|backup| *backup != id);
        backup.is_some_and(|backup| may_handle(state, station, backup).is_ok())
    };
    let depended_on = !children.is_empty() || !pots.iter().all(has_backup);
    if depended_on && !hurry {
        return Err(depended(state, id));
    }
    let childrens_pots = children
        .iter()
        .flat_map(|(_, child)| pots_with_adult(state, child));
    let handed = pots
        .into_iter()
        .chain(childrens_pots)
        .map(|(station, pot, cooking)| {
            let able = |backup: &&HelperId| {
                let leaves_too = children.iter().any(|(_, child)| child == backup);
                *backup != id && !leaves_too && may_handle(state, station, backup).is_ok()
            };
            Event::PotHandedOver {
                station: station.clone(),
                pot: pot.clone(),
                minder: cooking.backup.as_ref().filter(able).cloned(),
                backup: None,
            }
        });
    let freed = children.iter().map(|(station, child)| left(child, station));
    Ok(handed.chain(freed).collect())
}

fn claim(
    state: &State,
    moment: &Moment,
    id: &HelperId,
    station: &StationId,
    beside: Option<&HelperId>,
) -> Decision {
    let helper = find::present_helper(state, id)?;
    if let Some(seat) = &helper.station {
        let (name, place) = (&helper.plan.name, state.station_name(seat));
        return Err(Refusal::new(
            Code::AlreadySeated,
            format!("{name} sits at {place}."),
            "Switch instead, or leave that seat first.",
        )
        .with("helper", name)
        .with("station", place)
        .offering(Command::Switch {
            helper: id.clone(),
            station: station.clone(),
            beside: beside.cloned(),
        }));
    }
    let beside = may_sit(state, moment.now, (id, helper), station, beside)?;
    Ok(vec![taken(id, station, beside)])
}

fn switch(
    state: &State,
    moment: &Moment,
    id: &HelperId,
    station: &StationId,
    beside: Option<&HelperId>,
) -> Decision {
    let helper = find::present_helper(state, id)?;
    let seat = seat_of(state, helper)?;
    if seat == station {
        let (name, place) = (&helper.plan.name, state.station_name(seat));
        return Err(Refusal::new(
            Code::AlreadySeated,
            format!("{name} sits at {place} already."),
            "Choose another station.",
        )
        .with("helper", name)
        .with("station", place));
    }
    keeps_no_pot_alone(state, id)?;
    let after = without_seat(state, moment, &[(id, seat)]);
    let helper = find::present_helper(&after, id)?;
    let beside = may_sit(&after, moment.now, (id, helper), station, beside)?;
    Ok(vec![left(id, seat), taken(id, station, beside)])
}

/// The day as it is once these seats are given up, so that what they took counts as free.
fn without_seat(state: &State, moment: &Moment, seats: &[(&HelperId, &StationId)]) -> State {
    let mut after = state.clone();
    for (helper, station) in seats {
        crate::day::apply(
            &mut after,
            moment.now,
            moment.command,
            &left(helper, station),
        );
    }
    after
}

fn swap(
    state: &State,
    moment: &Moment,
    (one, beside_one): (&HelperId, Option<&HelperId>),
    (other, beside_other): (&HelperId, Option<&HelperId>),
) -> Decision {
    let seat_one = seat_of(state, find::present_helper(state, one)?)?.clone();
    let seat_other = seat_of(state, find::present_helper(state, other)?)?.clone();
    keeps_no_pot_alone(state, one)?;
    keeps_no_pot_alone(state, other)?;
    if seat_one == seat_other {
        let place = state.station_name(&seat_one);
        return Err(Refusal::new(
            Code::AlreadySeated,
            format!("Both sit at {place}."),
            "Choose two helpers at different stations.",
        )
        .with("station", place));
    }
    let mut after = without_seat(state, moment, &[(one, &seat_one), (other, &seat_other)]);
    let beside_one = sit_down(&after, moment, one, &seat_other, beside_one)?;
    let first = taken(one, &seat_other, beside_one);
    crate::day::apply(&mut after, moment.now, moment.command, &first);
    let beside_other = sit_down(&after, moment, other, &seat_one, beside_other)?;
    Ok(vec![
        left(one, &seat_one),
        left(other, &seat_other),
        first,
        taken(other, &seat_one, beside_other),
    ])
}

fn sit_down(
    state: &State,
    moment: &Moment,
    id: &HelperId,
    station: &StationId,
    beside: Option<&HelperId>,
) -> Result<Option<HelperId>, Refusal> {
    let helper = find::present_helper(state, id)?;
    may_sit(state, moment.now, (id, helper), station, beside)
}

fn take_break(state: &State, id: &HelperId) -> Decision {
    let helper = find::present_helper(state, id)?;
    let mut events = free_dependants(state, id, false)?;
    events.extend(helper.station.iter().map(|seat| left(id, seat)));
    events.push(Event::BreakBegan { helper: id.clone() });
    Ok(events)
}

fn end_break(state: &State, id: &HelperId) -> Decision {
    let helper = find::helper(state, id)?;
    if helper.presence == Presence::Resting {
        return Ok(vec![Event::BreakEnded { helper: id.clone() }]);
    }
    Err(Refusal::new(
        Code::WrongPhase,
        format!("{} is not resting.", helper.plan.name),
        "Nothing to do.",
    )
    .with("helper", &helper.plan.name))
}

fn stay_beside(state: &State, id: &HelperId, adult: &HelperId) -> Decision {
    let helper = find::helper(state, id)?;
    let seat = seat_of(state, helper)?;
    let place = state.stations.get(seat);
    let beside = place.and_then(|station| station.seats.get(id)?.beside.as_ref());
    if beside.is_none() {
        return Err(find::bad(
            format!("{} needs nobody beside.", helper.plan.name),
            "Nothing to do.",
        ));
    }
    can_stay_beside(state, adult, id, seat)?;
    Ok(vec![Event::BesideChanged {
        helper: id.clone(),
        adult: adult.clone(),
    }])
}
