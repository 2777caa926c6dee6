//! `decide`: whether a command may happen now, and what then happens.
//!
//! Decides on the state alone and changes nothing. Whoever may give an order is asked first, then
//! whether the day is open, then the rules of the order itself.

mod alarms;
mod boxes;
mod build_load;
mod chores;
mod find;
mod hurt;
mod loads;
mod moves;
mod pass_on;
mod people;
mod pots;
mod seals;
mod seats;
mod set_up;
mod tally;
mod ways_off;

use super::command::{Command, Moment, Role};
use super::event::Event;
use super::refusal::{Code, Refusal};
use super::state::{Phase, State};
use find::lead_only;

pub(crate) use build_load::no_tested;
pub(crate) use find::name;
pub use loads::UNKNOWN_MS_MAX;
pub(crate) use seats::{may_handle, verdict};

/// What a decision gives: the events of the command, or why not.
pub type Decision = Result<Vec<Event>, Refusal>;

/// Decides a command.
///
/// # Errors
/// The reason, and what to do instead.
pub fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    check_role(command, moment)?;
    check_phase(state, command)?;
    match command {
        Command::OpenDay { .. }
        | Command::ChangeDay { .. }
        | Command::CloseDay {}
        | Command::SetAgeRules { .. }
        | Command::PutResource { .. }
        | Command::RetireResource { .. }
        | Command::AddStation { .. }
        | Command::ChangeStation { .. }
        | Command::RetireStation { .. }
        | Command::SetUp { .. }
        | Command::PutAway { .. }
        | Command::AddProduct { .. }
        | Command::ChangeProduct { .. }
        | Command::RetireProduct { .. }
        | Command::AddLot { .. }
        | Command::ChangeLot { .. }
        | Command::RetireLot { .. }
        | Command::AddSupply { .. }
        | Command::ChangeSupply { .. }
        | Command::RetireSupply { .. }
        | Command::AddHelper { .. }
        | Command::ChangeHelper { .. }
        | Command::RetireHelper { .. } => set_up::decide(state, command, moment),

        Command::Arrive { .. }
        | Command::GoHome { .. }
        | Command::Claim { .. }
        | Command::Leave { .. }
        | Command::Switch { .. }
        | Command::Swap { .. }
        | Command::TakeBreak { .. }
        | Command::EndBreak { .. }
        | Command::StayBeside { .. } => people::decide(state, command, moment),
        Command::SetAsideMove { r#move, gain_min } => {
            moves::set_aside(state, moment, r#move, *gain_min)
        }
        Command::TakeMove { r#move, gain_min } => moves::take(state, r#move, *gain_min),

        Command::Tally { .. } | Command::UndoTally { .. } => tally::decide(state, command, moment),
        Command::OpenBox { .. }
        | Command::CloseBox { .. }
        | Command::SplitLot { .. }
        | Command::Restock { .. }
        | Command::RecountSupply { .. } => boxes::decide(state, command),
        Command::Divert { .. } | Command::Recount { .. } | Command::SendBack { .. } => {
            ways_off::decide(state, command)
        }

        Command::FillPot { .. }
        | Command::EmptyPot { .. }
        | Command::StartPot { .. }
        | Command::Stirred { .. }
        | Command::HandOverPot { .. }
        | Command::NameBackup { .. }
        | Command::PotDone { .. }
        | Command::ScrapPot { .. } => pots::decide(state, command, moment),

        Command::BuildLoad { .. }
        | Command::ChangeLoad { .. }
        | Command::CancelLoad { .. }
        | Command::ConfirmJars { .. } => build_load::decide(state, command, moment),
        Command::CheckSeals { .. } => seals::decide(state, command, moment),

        Command::TimeUnknown { .. }
        | Command::HeatLoad { .. }
        | Command::Vent { .. }
        | Command::PressureZero { .. }
        | Command::RollingBoil { .. }
        | Command::BoilLost { .. }
        | Command::HeatOff { .. }
        | Command::LiftLoad { .. } => loads::decide(state, command, moment),

        Command::RaiseChore { .. }
        | Command::TakeChore { .. }
        | Command::FinishChore { .. }
        | Command::Note { .. }
        | Command::Gather { .. } => chores::decide(state, command),

        Command::TakeAlarm { alarm, helper } => alarms::take(state, moment, alarm, helper),
        Command::ReportHurt { .. } | Command::TakeBackHurt { .. } | Command::HurtTended { .. } => {
            hurt::decide(state, command, moment)
        }
    }
}

/// Who may order what; the only place that asks.
fn check_role(command: &Command, moment: &Moment) -> Result<(), Refusal> {
    match moment.role {
        Role::Lead => Ok(()),
        Role::Watcher => Err(Refusal::new(
            Code::WatchOnly,
            "This screen only watches.",
            "Join as a helper on this device first.",
        )),
        Role::Helper if lead_only(command) => Err(Refusal::new(
            Code::LeadOnly,
            "Only the lead can do this.",
            "Ask the lead to do it on the lead's device.",
        )),
        Role::Helper => Ok(()),
    }
}

fn check_phase(state: &State, command: &Command) -> Result<(), Refusal> {
    let opens = matches!(command, Command::OpenDay { .. });
    let after = matches!(
        command,
        Command::Note { .. }
            | Command::FinishChore { .. }
            | Command::TakeChore { .. }
            | Command::CheckSeals { .. }
            | Command::ReportHurt { .. }
            | Command::TakeBackHurt { .. }
            | Command::HurtTended { .. }
    );
    match state.phase {
        Phase::None if opens => Ok(()),
        Phase::None => Err(Refusal::new(
            Code::NoDay,
            "No day is open here.",
            "Open a day first.",
        )),
        Phase::Open | Phase::Closed if opens => Err(Refusal::new(
            Code::DayExists,
            "This day was opened already.",
            "Go to the day, or open another under a new name.",
        )),
        Phase::Open => Ok(()),
        Phase::Closed if after => Ok(()),
        Phase::Closed => Err(Refusal::new(
            Code::DayClosed,
            "The day is closed.",
            "Open a new day; what was left standing can be carried over to it.",
        )),
    }
}
