//! Looking things up by id, with the refusal when they are not there, and what only the lead may.

use crate::day::amount::{Amount, Measure};
use crate::day::command::{Command, Moment, Role};
use crate::day::ids::*;
use crate::day::plan::Step;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::*;

/// The longest name and the longest other text, in characters.
pub(super) const NAME_LENGTH_MAX: usize = 60;
pub(super) const TEXT_LENGTH_MAX: usize = 280;

/// Whether an order is the lead's alone.
pub(super) fn lead_only(command: &Command) -> bool {
    match command {
        Command::OpenDay { .. }
        | Command::ChangeDay { .. }
        | Command::TimeUnknown { .. }
        | Command::CloseDay {}
        | Command::SetAgeRules { .. }
        | Command::PutResource { .. }
        | Command::RetireResource { .. }
        | Command::AddStation { .. }
        | Command::ChangeStation { .. }
        | Command::RetireStation { .. }
        | Command::SetUp { .. }
        | Command::PutAway { .. }
        | Command::ChangeHelper { .. }
        | Command::RetireHelper { .. }
        | Command::AddProduct { .. }
        | Command::ChangeProduct { .. }
        | Command::RetireProduct { .. }
        | Command::AddLot { .. }
        | Command::ChangeLot { .. }
        | Command::RetireLot { .. }
        | Command::AddSupply { .. }
        | Command::ChangeSupply { .. }
        | Command::RetireSupply { .. }
        | Command::SplitLot { .. } => true,
        Command::HeatOff { end_early, .. } => *end_early,
        Command::AddHelper { .. }
        | Command::Restock { .. }
        | Command::RecountSupply { .. }
        | Command::OpenBox { .. }
        | Command::CloseBox { .. }
        | Command::Arrive { .. }
        | Command::GoHome { .. }
        | Command::Claim { .. }
        | Command::Leave { .. }
        | Command::Switch { .. }
        | Command::Swap { .. }
        | Command::TakeBreak { .. }
        | Command::EndBreak { .. }
        | Command::StayBeside { .. }
        | Command::SetAsideMove { .. }
        | Command::TakeMove { .. }
        | Command::Tally { .. }
        | Command::UndoTally { .. }
        | Command::Divert { .. }
        | Command::Recount { .. }
        | Command::SendBack { .. }
        | Command::FillPot { .. }
        | Command::EmptyPot { .. }
        | Command::StartPot { .. }
        | Command::Stirred { .. }
        | Command::HandOverPot { .. }
        | Command::PotDone { .. }
        | Command::ScrapPot { .. }
        | Command::ConfirmJars { .. }
        | Command::Vent { .. }
        | Command::PressureZero { .. }
        | Command::CheckSeals { .. }
        | Command::BuildLoad { .. }
        | Command::ChangeLoad { .. }
        | Command::CancelLoad { .. }
        | Command::HeatLoad { .. }
        | Command::RollingBoil { .. }
        | Command::BoilLost { .. }
        | Command::LiftLoad { .. }
        | Command::RaiseChore { .. }
        | Command::TakeChore { .. }
        | Command::FinishChore { .. }
        | Command::Note { .. }
        | Command::Gather { .. }
        | Command::TakeAlarm { .. }
        | Command::NameBackup { .. }
        | Command::ReportHurt { .. }
        | Command::TakeBackHurt { .. }
        | Command::HurtTended { .. } => false,
    }
}

pub(super) fn unknown(kind: &str, id: &str) -> Refusal {
    Refusal::new(
        Code::Unknown,
        format!("There is no {kind} {id:?} on this day."),
        "Look at the list on the screen; it may have been taken off.",
    )
    .with("kind", kind)
    .with("id", id)
}

pub(super) fn bad(detail: impl Into<String>, instead: impl Into<String>) -> Refusal {
    Refusal::new(Code::BadValue, detail, instead)
}

pub(super) fn station<'a>(state: &'a State, id: &StationId) -> Result<&'a StationState, Refusal> {
    match state.stations.get(id) {
        Some(station) if !station.retired => Ok(station),
        Some(_) | None => Err(unknown("station", id.as_str())),
    }
}

/// A station that stands ready.
pub(super) fn ready_station<'a>(
    state: &'a State,
    id: &StationId,
) -> Result<&'a StationState, Refusal> {
    let found = station(state, id)?;
    if found.set_up {
        return Ok(found);
    }
    let name = &found.plan.name;
    Err(Refusal::new(
        Code::NotSetUp,
        format!("{name} is put away."),
        format!("Ask the lead to set {name} up first."),
    )
    .with("station", name))
}

pub(super) fn helper<'a>(state: &'a State, id: &HelperId) -> Result<&'a HelperState, Refusal> {
    match state.helpers.get(id) {
        Some(helper) if !helper.retired => Ok(helper),
        Some(_) | None => Err(unknown("helper", id.as_str())),
    }
}

/// A helper who is in the kitchen and not resting.
pub(super) fn present_helper<'a>(
    state: &'a State,
    id: &HelperId,
) -> Result<&'a HelperState, Refusal> {
    let found = helper(state, id)?;
    let name = &found.plan.name;
    let (detail, instead) = match found.presence {
        Presence::Here => return Ok(found),
        Presence::Resting => (
            format!("{name} is resting."),
            format!("Tap that {name} is back first."),
        ),
        Presence::Expected => (
            format!("{name} is not here yet."),
            format!("Tap that {name} has come first."),
        ),
        Presence::Gone => (
            format!("{name} went home."),
            format!("If {name} is back, tap that {name} has come."),
        ),
    };
    Err(Refusal::new(Code::NotHere, detail, instead).with("helper", name))
}

pub(super) fn product<'a>(state: &'a State, id: &ProductId) -> Result<&'a ProductState, Refusal> {
    match state.products.get(id) {
        Some(product) if !product.retired => Ok(product),
        Some(_) | None => Err(unknown("product", id.as_str())),
    }
}

pub(super) fn lot<'a>(state: &'a State, id: &LotId) -> Result<&'a LotState, Refusal> {
    match state.lots.get(id) {
        Some(lot) if !lot.retired => Ok(lot),
        Some(_) | None => Err(unknown("lot", id.as_str())),
    }
}

pub(super) fn supply<'a>(state: &'a State, id: &SupplyId) -> Result<&'a SupplyState, Refusal> {
    match state.supplies.get(id) {
        Some(supply) if !supply.retired => Ok(supply),
        Some(_) | None => Err(unknown("supply", id.as_str())),
    }
}

/// Hands at a hot place have a name, so that the house rule can be asked; only the lead's own
/// device may leave it out.
pub(super) fn whose_hands(moment: &Moment, helper: Option<&HelperId>) -> Result<(), Refusal> {
    match (helper, moment.role) {
        (Some(_), _) | (None, Role::Lead) => Ok(()),
        (None, Role::Helper | Role::Watcher) => Err(Refusal::new(
            Code::NotSeated,
            "The board does not know whose hands these are.",
            "Pick yourself on this device first.",
        )),
    }
}

/// The step of a product at a station.
pub(super) fn step<'a>(
    state: &'a State,
    of: &ProductId,
    at: &StationId,
) -> Result<&'a Step, Refusal> {
    let plan = &product(state, of)?.plan;
    let place = station(state, at)?;
    state.step(of, at).ok_or_else(|| {
        let stops: Vec<String> = plan
            .route
            .iter()
            .map(|step| state.station_name(&step.station))
            .collect();
        Refusal::new(
            Code::NoWay,
            format!("{} does not pass {}.", plan.name, place.plan.name),
            format!("Its stations are {}.", stops.join(", ")),
        )
        .with("product", &plan.name)
        .with("station", &place.plan.name)
    })
}

/// Jars that came out of a canner leave the rack by their seal check and by nothing else.
pub(super) fn before_the_rack(
    state: &State,
    product: &ProductId,
    station: &StationId,
) -> Result<(), Refusal> {
    if !state.is_after_canner(product, station) {
        return Ok(());
    }
    let name = state.station_name(station);
    Err(Refusal::new(
        Code::SealsFirst,
        format!("Jars leave {name} only by their seal check."),
        "Check the seals of their load once they have cooled; broken jars are said there too.",
    )
    .with("station", name))
}

/// Fruit goes only into products that may hold it: a tested process is for what is in the jar.
pub(super) fn may_hold(state: &State, of: &ProductId, lots: &[&LotId]) -> Result<(), Refusal> {
    let plan = &product(state, of)?.plan;
    let other = lots.iter().find_map(|lot| {
        let found = &state.lots.get(*lot)?.plan;
        (!plan.may_hold(&found.produce)).then_some(found)
    });
    let Some(other) = other else { return Ok(()) };
    Err(Refusal::new(
        Code::NoWay,
        format!(
            "{} is {}, but {} is made of {}.",
            other.name, other.produce, plan.name, plan.produce
        ),
        format!("Choose a product made of {}.", other.produce),
    )
    .with("lot", &other.name)
    .with("product", &plan.name))
}

/// An amount that can be meant: more than nothing, not absurd, whole where only whole ones exist.
pub(super) fn sensible(amount: Amount, step: &Step) -> Result<(), Refusal> {
    sensible_in(amount, step.measure)
}

pub(super) fn sensible_in(amount: Amount, measure: Measure) -> Result<(), Refusal> {
    in_range(amount)?;
    if measure.is_counted() && !amount.is_whole() {
        let unit = measure.symbol();
        return Err(bad(
            format!("{amount} {unit} is not a whole number."),
            format!("Say a whole number of {unit}s."),
        ));
    }
    Ok(())
}

/// An amount above nothing and at most a million.
pub(super) fn in_range(amount: Amount) -> Result<(), Refusal> {
    if amount.is_sensible() {
        return Ok(());
    }
    Err(bad(
        format!("The amount {amount} is out of range."),
        "Say more than 0 and at most 1,000,000.",
    ))
}

/// A name: 1 to 60 characters, no control characters.
pub(crate) fn name(text: &str) -> Result<(), Refusal> {
    checked_text(text, NAME_LENGTH_MAX)
}

/// A longer text: 1 to 280 characters, no control characters.
pub(super) fn words(text: &str) -> Result<(), Refusal> {
    checked_text(text, TEXT_LENGTH_MAX)
}

fn checked_text(text: &str, longest: usize) -> Result<(), Refusal> {
    let length = text.chars().count();
    if text.trim().is_empty() || length > longest {
        return Err(bad(
            format!("A text has {length} characters."),
            format!("Write 1 to {longest} characters."),
        ));
    }
    if text.chars().any(is_hidden) {
        return Err(bad(
            "A text has hidden or control characters.",
            "Write it on one line with plain letters.",
        ));
    }
    Ok(())
}

/// Control characters, and those that change the direction or hide in a text.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}'
            | '\u{3164}' | '\u{ffa0}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_shows_all_that_it_is_made_of() {
        for plain in [
            "Maren",
            "José",
            "Łucja",
            "李雷",
            "O’Neil-Ünal",
            "Ana 2",
            "👩",
            "<b>Bo</b>",
        ] {
            assert!(name(plain).is_ok(), "{plain}");
        }
        // Controls, marks of direction, tags, and letters that are blank.
        for hidden in [
            '\0',
            '\u{7}',
            '\u{1b}',
            '\n',
            '\u{85}',
            '\u{ad}',
            '\u{34f}',
            '\u{61c}',
            '\u{115f}',
            '\u{180e}',
            '\u{200b}',
            '\u{200d}',
            '\u{200f}',
            '\u{202e}',
            '\u{2066}',
            '\u{2069}',
            '\u{3164}',
            '\u{feff}',
            '\u{ffa0}',
            '\u{e0041}',
            '\u{e007f}',
        ] {
            assert!(name(&format!("Bo{hidden}")).is_err(), "{hidden:?}");
        }
        assert!(name("").is_err() && name(" \u{3000}").is_err());
        assert!(name(&"x".repeat(60)).is_ok() && name(&"x".repeat(61)).is_err());
    }
}
