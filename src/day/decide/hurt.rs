//! Someone is hurt: one call frees what is theirs, so that they can be looked after.

use super::people::{free_dependants, left, taken};
use super::seats::may_sit;
use super::{Decision, find, may_handle};
use crate::day::command::{Command, HurtKind, Moment};
use crate::day::event::{Event, Freed, FreedPot, FreedSeat};
use crate::day::ids::{HelperId, HurtId, StationId};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{HelperState, Hurt, Presence, State};

/// How many calls a day holds.
const HURTS_MAX: usize = 200;

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    match command {
        Command::ReportHurt {
            hurt,
            helper,
            station,
            kind,
        } => report(state, hurt, helper.as_ref(), station.as_ref(), *kind),
        Command::TakeBackHurt { hurt } => take_back(state, moment, hurt),
        Command::HurtTended { hurt, helper } => tended(state, hurt, helper),
        other => unreachable!("{other:?} is not about somebody hurt"),
    }
}

fn report(
    state: &State,
    id: &HurtId,
    helper: Option<&HelperId>,
    station: Option<&StationId>,
    kind: Option<HurtKind>,
) -> Decision {
    if let Some(station) = station {
        find::station(state, station)?;
    }
    let who = helper.map(|id| find::helper(state, id)).transpose()?;
    let known = match state.hurts.get(id) {
        None if state.hurts.len() >= HURTS_MAX => {
            return Err(find::bad(
                format!("The day has {HURTS_MAX} such calls already."),
                "Call out loud, and look after them.",
            ));
        }
        None => None,
        Some(hurt) => still_open(state, hurt)?.helper.as_ref(),
    };
    if let (Some(known), Some(helper)) = (known, helper)
        && known != helper
    {
        let name = state.helper_name(known);
        return Err(find::bad(
            format!("This call is about {name}."),
            format!("If {name} is well, take it back and call anew. If two are hurt, call twice."),
        ));
    }
    let newly = helper.zip(who).filter(|_| known.is_none());
    let (freed, events) = match newly {
        None => (None, Vec::new()),
        Some((helper, who)) => {
            let (freed, events) = free(state, helper, who)?;
            ((who.presence == Presence::Here).then_some(freed), events)
        }
    };
    let seat = newly.and_then(|(_, who)| who.station.clone());
    let reported = Event::HurtReported {
        hurt: id.clone(),
        helper: helper.cloned(),
        station: station.cloned().or(seat),
        kind,
        freed,
    };
    Ok([vec![reported], events].concat())
}

/// What is theirs, and the events that hand it on: the seat, children beside, pots.
fn free(
    state: &State,
    id: &HelperId,
    helper: &HelperState,
) -> Result<(Freed, Vec<Event>), Refusal> {
    let mut events = free_dependants(state, id, true)?;
    events.extend(helper.station.iter().map(|seat| left(id, seat)));
    let mut freed = Freed::default();
    for event in &events {
        if let Event::SeatLeft { helper, station } = event {
            let seats = state.stations.get(station).map(|found| &found.seats);
            let beside = seats.and_then(|seats| seats.get(helper)?.beside.clone());
            freed.seats.push(FreedSeat {
                helper: helper.clone(),
                station: station.clone(),
                beside,
            });
        } else if let Event::PotHandedOver {
            station,
            pot,
            minder: to,
            ..
        } = event
            && let Some(cooking) = state.cooking(station, pot)
            && let Some(minder) = &cooking.minder
        {
            freed.pots.push(FreedPot {
                station: station.clone(),
                pot: pot.clone(),
                minder: minder.clone(),
                backup: cooking.backup.clone(),
                to: to.clone(),
            });
        }
    }
    if helper.presence == Presence::Here {
        events.push(Event::BreakBegan { helper: id.clone() });
    }
    Ok((freed, events))
}

fn find_hurt<'a>(state: &'a State, id: &HurtId) -> Result<&'a Hurt, Refusal> {
    let hurt = state.hurts.get(id);
    still_open(
        state,
        hurt.ok_or_else(|| find::unknown("call", id.as_str()))?,
    )
}

fn still_open<'a>(state: &State, hurt: &'a Hurt) -> Result<&'a Hurt, Refusal> {
    let detail = match &hurt.tended_by {
        Some(adult) => format!("{} is with them already.", state.helper_name(adult)),
        None if hurt.taken_back => "That call was taken back.".to_owned(),
        None => return Ok(hurt),
    };
    Err(Refusal::new(
        Code::HurtOver,
        detail,
        "If someone is hurt now, call anew.",
    ))
}

/// An adult in the kitchen, and not the hurt one while there is another.
fn tended(state: &State, id: &HurtId, helper: &HelperId) -> Decision {
    let hurt = find_hurt(state, id)?;
    let found = find::helper(state, helper)?;
    let name = &found.plan.name;
    if !found.plan.is_adult() {
        return Err(Refusal::new(
            Code::AdultNeeded,
            format!("{name} is not a grown-up."),
            "Tell a grown-up at once; they tap it when they are there.",
        )
        .with("helper", name));
    }
    let is_hurt = hurt.helper.as_ref() == Some(helper);
    let mut adults = state.helpers.iter().filter(|(id, one)| {
        !one.retired && one.plan.is_adult() && in_kitchen(one) && *id != helper
    });
    if is_hurt && adults.next().is_some() {
        return Err(Refusal::new(
            Code::AdultBusy,
            format!("{name} is the one who is hurt."),
            "Another grown-up goes there and taps it.",
        )
        .with("adult", name));
    }
    if !in_kitchen(found) {
        find::present_helper(state, helper)?;
    }
    Ok(vec![Event::HurtWasTended {
        hurt: id.clone(),
        helper: helper.clone(),
    }])
}

fn in_kitchen(helper: &HelperState) -> bool {
    matches!(helper.presence, Presence::Here | Presence::Resting)
}

/// A mistaken tap: seats and pots go back, where nobody has them since and the rules still let.
fn take_back(state: &State, moment: &Moment, id: &HurtId) -> Decision {
    let hurt = find_hurt(state, id)?;
    let mut events = vec![Event::HurtTakenBack { hurt: id.clone() }];
    let mut after = state.clone();
    let freed = hurt.freed.as_ref();
    let mut add = |after: &mut State, event: Event| {
        crate::day::apply(after, moment.now, moment.command, &event);
        events.push(event);
    };
    let rests = |helper: &&HelperId| {
        let found = state.helpers.get(*helper);
        found.is_some_and(|found| found.presence == Presence::Resting)
    };
    if let Some(helper) = hurt
        .helper
        .as_ref()
        .filter(|_| freed.is_some())
        .filter(rests)
    {
        let helper = helper.clone();
        add(&mut after, Event::BreakEnded { helper });
    }
    // Their own seat is the last of the list and comes first: children need them beside.
    for seat in freed.into_iter().flat_map(|freed| freed.seats.iter().rev()) {
        let beside = seat.beside.as_ref();
        let Ok(helper) = find::present_helper(&after, &seat.helper) else {
            continue;
        };
        if helper.station.is_some() {
            continue;
        }
        let who = (&seat.helper, helper);
        if let Ok(beside) = may_sit(&after, moment.now, who, &seat.station, beside) {
            add(&mut after, taken(&seat.helper, &seat.station, beside));
        }
    }
    for pot in freed.into_iter().flat_map(|freed| &freed.pots) {
        let unchanged = after
            .cooking(&pot.station, &pot.pot)
            .is_some_and(|cooking| cooking.minder == pot.to);
        if unchanged && may_handle(&after, &pot.station, &pot.minder).is_ok() {
            add(
                &mut after,
                Event::PotHandedOver {
                    station: pot.station.clone(),
                    pot: pot.pot.clone(),
                    minder: Some(pot.minder.clone()),
                    backup: pot.backup.clone(),
                },
            );
        }
    }
    Ok(events)
}
