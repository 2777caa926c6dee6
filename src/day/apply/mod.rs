//! `apply`: what an event changes. Total and without rules: whatever happened, happened.
//!
//! The same function serves the living day, the replay of its journal and every simulation.

mod alarms;
mod chores;
mod flow;
mod hurt;
mod loads;
mod people;
mod pots;
mod seals;
mod set_up;

use super::event::Event;
use super::state::State;
use super::time::Timestamp;
use uuid::Uuid;

/// Applies one event that came with `command` at `at`.
pub fn apply(state: &mut State, at: Timestamp, command: Uuid, event: &Event) {
    match event {
        Event::DayOpened { .. }
        | Event::DayChanged { .. }
        | Event::DayClosed {}
        | Event::AgeRulesSet { .. }
        | Event::ResourcePut { .. }
        | Event::ResourceRetired { .. }
        | Event::StationAdded { .. }
        | Event::StationChanged { .. }
        | Event::StationRetired { .. }
        | Event::StationSetUp { .. }
        | Event::StationPutAway { .. }
        | Event::ProductAdded { .. }
        | Event::ProductChanged { .. }
        | Event::ProductRetired { .. }
        | Event::LotAdded { .. }
        | Event::LotChanged { .. }
        | Event::LotRetired { .. }
        | Event::SupplyAdded { .. }
        | Event::SupplyChanged { .. }
        | Event::SupplyRetired { .. }
        | Event::SupplyRestocked { .. }
        | Event::SupplyRecounted { .. } => set_up::apply(state, at, event),

        Event::HelperAdded { .. }
        | Event::HelperChanged { .. }
        | Event::HelperRetired { .. }
        | Event::HelperArrived { .. }
        | Event::HelperWentHome { .. }
        | Event::SeatTaken { .. }
        | Event::SeatLeft { .. }
        | Event::BreakBegan { .. }
        | Event::BreakEnded { .. }
        | Event::BesideChanged { .. }
        | Event::MoveSetAside { .. }
        | Event::MoveTaken { .. } => people::apply(state, at, event),

        Event::BoxOpened { .. }
        | Event::BoxClosed { .. }
        | Event::Tallied { .. }
        | Event::TallyUndone { .. }
        | Event::Diverted { .. }
        | Event::Recounted { .. }
        | Event::LotSplit { .. }
        | Event::SentBack { .. } => flow::apply(state, at, command, event),

        Event::PotFilled { .. }
        | Event::PotEmptied { .. }
        | Event::PotStarted { .. }
        | Event::PotStirred { .. }
        | Event::PotHandedOver { .. }
        | Event::BackupNamed { .. }
        | Event::PotFinished { .. }
        | Event::PotScrapped { .. } => pots::apply(state, at, event),

        Event::TimeWasUnknown { .. }
        | Event::JarsConfirmed { .. }
        | Event::VentBegan { .. }
        | Event::PressureFell { .. }
        | Event::SealsChecked { .. }
        | Event::LoadBuilt { .. }
        | Event::LoadCancelled { .. }
        | Event::LoadHeated { .. }
        | Event::BoilReached { .. }
        | Event::BoilWasLost { .. }
        | Event::HeatTurnedOff { .. }
        | Event::LoadLifted { .. } => loads::apply(state, at, event),

        Event::ChoreRaised { .. }
        | Event::ChoreTaken { .. }
        | Event::ChoreFinished { .. }
        | Event::ChoreSettled { .. }
        | Event::Noted { .. }
        | Event::Gathered { .. } => chores::apply(state, at, event),

        Event::AlarmTaken { alarm, helper } => alarms::take(state, at, alarm, helper),
        Event::HurtReported { .. } | Event::HurtTakenBack { .. } | Event::HurtWasTended { .. } => {
            hurt::apply(state, at, event);
        }
    }
}
