//! Why a command was refused, and what to do instead.
//!
//! A refusal changes nothing. Its `code` is stable and made for programs and translations; `detail`
//! says what is wrong and `instead` what to do, both in plain English.

use super::command::Command;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Every reason a command can be refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Code {
    /// Only the lead may do this.
    LeadOnly,
    /// A watching device may not do anything.
    WatchOnly,
    /// There is a day here already.
    DayExists,
    /// No day has been opened here.
    NoDay,
    /// The day is closed.
    DayClosed,
    /// Something hot is still going, so the day cannot close.
    StillHot,
    /// A name, number or list is out of range; the detail says which.
    BadValue,
    /// The id is in use.
    IdTaken,
    /// Nothing has this id.
    Unknown,
    /// It is still in use, so it cannot be taken away or changed like that.
    InUse,
    /// The station is put away.
    NotSetUp,
    /// Every seat is taken.
    SeatTaken,
    /// The helper sits somewhere already.
    AlreadySeated,
    /// The helper has no seat.
    NotSeated,
    /// The helper is not in the kitchen, or is resting.
    NotHere,
    /// The house rule for ages does not allow it.
    AgeRule,
    /// The helper's own limits do not allow it.
    OwnLimit,
    /// The house rule asks for a named adult beside.
    AdultNeeded,
    /// The named adult cannot stay beside.
    AdultBusy,
    /// Somebody depends on this adult.
    Depended,
    /// A shared thing (burner, sink, counter) is all in use.
    ResourceBusy,
    /// Less is waiting than was said.
    NotEnough,
    /// Several products wait here: say which.
    WhichProduct,
    /// The way does not lead there.
    NoWay,
    /// Another measure counts there: say how much it becomes.
    SayBecomes,
    /// A supply has run out.
    SupplyOut,
    /// There is no tally to take back.
    NothingToUndo,
    /// What was tallied has moved on.
    MovedOn,
    /// The station does not work that way.
    WrongStation,
    /// The pot is dirty.
    PotDirty,
    /// The pot has something in it.
    PotFull,
    /// The pot is empty.
    PotEmpty,
    /// More than the pot, rack or canner takes.
    OverCapacity,
    /// The pot or load is not at that point.
    WrongPhase,
    /// No minder is named for a pot.
    NeedsMinder,
    /// The canner is in use.
    CannerBusy,
    /// Altitude is not set, so no process can be looked up.
    NoAltitude,
    /// No tested process is known for it.
    NoTestedProcess,
    /// The jars ask for different pressures.
    UnlikePressure,
    /// Different products or jars in one load, which the lead has not confirmed.
    MixedLoad,
    /// Raw and hot packs begin in water of different heat.
    UnlikePacks,
    /// The acid of these jars was not confirmed.
    AcidUnconfirmed,
    /// These jars were to be sterilised, which was not confirmed.
    JarsUnsterile,
    /// The jars were filled too long ago to be processed as fresh.
    JarsStood,
    /// The canner was not vented long enough.
    NotVented,
    /// The canner may still be under pressure.
    StillUnderPressure,
    /// Jars leave the rack by their seal check only.
    SealsFirst,
    /// The published limit for it is over.
    TooLate,
    /// The process time is not over.
    TimeNotOver,
    /// Jars not fully processed need a fate.
    NeedsFate,
    /// The chore is finished.
    ChoreFinished,
    /// That alarm does not ring now.
    NotRinging,
    /// Somebody sees to that alarm already.
    AlarmTaken,
    /// An adult is with the hurt one already, or it was taken back.
    HurtOver,
}

/// A refused command.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Refusal {
    /// The reason, for programs.
    pub code: Code,
    /// What is wrong.
    pub detail: String,
    /// What to do instead.
    pub instead: String,
    /// The names and numbers in the sentences, for other languages.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub words: BTreeMap<String, String>,
    /// A command that would put it right, ready to send.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offer: Option<Box<Command>>,
}

impl Refusal {
    /// A refusal with its two sentences.
    pub fn new(code: Code, detail: impl Into<String>, instead: impl Into<String>) -> Refusal {
        Refusal {
            code,
            detail: detail.into(),
            instead: instead.into(),
            words: BTreeMap::new(),
            offer: None,
        }
    }

    /// Adds a name or number of the sentences.
    pub fn with(mut self, word: &str, value: impl ToString) -> Refusal {
        self.words.insert(word.to_owned(), value.to_string());
        self
    }

    /// Adds a command that would put it right.
    pub fn offering(mut self, command: Command) -> Refusal {
        self.offer = Some(Box::new(command));
        self
    }
}
