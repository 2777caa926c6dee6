//! What events about people change: who is here, who sits where.

use crate::day::event::Event;
use crate::day::ids::{HelperId, StationId};
use crate::day::plan::Helper;
use crate::day::state::{HelperState, Presence, Seat, SetAside, State};
use crate::day::time::Timestamp;

pub(super) fn apply(state: &mut State, at: Timestamp, event: &Event) {
    match event {
        Event::HelperAdded { helper, plan } => add_helper(state, at, helper, plan),
        Event::HelperChanged { helper, plan } => {
            if let Some(helper) = state.helpers.get_mut(helper) {
                helper.plan = plan.clone();
            }
        }
        Event::HelperRetired { helper } => {
            if let Some(helper) = state.helpers.get_mut(helper) {
                helper.retired = true;
            }
        }
        Event::HelperArrived { helper } | Event::BreakEnded { helper } => {
            set_presence(state, at, helper, Presence::Here);
        }
        Event::HelperWentHome { helper } => set_presence(state, at, helper, Presence::Gone),
        Event::BreakBegan { helper } => set_presence(state, at, helper, Presence::Resting),
        Event::SeatTaken {
            helper,
            station,
            beside,
        } => take_seat(state, at, helper, station, beside.clone()),
        Event::SeatLeft { helper, station } => {
            if let Some(station) = state.stations.get_mut(station) {
                station.seats.remove(helper);
            }
            if let Some(helper) = state.helpers.get_mut(helper) {
                helper.station = None;
                helper.since = at;
            }
        }
        Event::BesideChanged { helper, adult } => {
            let seat = state
                .stations
                .values_mut()
                .find_map(|station| station.seats.get_mut(helper));
            if let Some(seat) = seat {
                seat.beside = Some(adult.clone());
            }
        }
        Event::MoveSetAside { r#move, gain_min } => {
            state.set_aside.retain(|_, past| past.counts_at(at));
            let gain_min = *gain_min;
            let set_aside = SetAside { at, gain_min };
            state.set_aside.insert(r#move.clone(), set_aside);
        }
        // The seats have changed already; this is only for the look back.
        Event::MoveTaken { .. } => {}
        other => unreachable!("{other:?} is not about people"),
    }
}

pub(super) fn add_helper(state: &mut State, at: Timestamp, id: &HelperId, plan: &Helper) {
    let presence = if plan.here {
        Presence::Here
    } else {
        Presence::Expected
    };
    let helper = HelperState {
        plan: plan.clone(),
        retired: false,
        presence,
        since: at,
        station: None,
    };
    state.helpers.insert(id.clone(), helper);
}

fn set_presence(state: &mut State, at: Timestamp, id: &HelperId, presence: Presence) {
    if let Some(helper) = state.helpers.get_mut(id) {
        helper.presence = presence;
        helper.since = at;
    }
}

fn take_seat(
    state: &mut State,
    at: Timestamp,
    helper: &HelperId,
    station: &StationId,
    beside: Option<HelperId>,
) {
    if let Some(station) = state.stations.get_mut(station) {
        station
            .seats
            .insert(helper.clone(), Seat { since: at, beside });
    }
    if let Some(helper) = state.helpers.get_mut(helper) {
        helper.station = Some(station.clone());
        helper.since = at;
    }
}
