//! Why a command about the shelf was refused, and what to do instead.

use serde::Serialize;
use std::collections::BTreeMap;

/// Every reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Code {
    /// Only the lead may do this.
    LeadOnly,
    /// A watching device may not do anything.
    WatchOnly,
    /// No day has this lot, load or run.
    UnknownPackages,
    /// Less is there than was said.
    NotOnTheShelf,
    /// A number or a text is out of range; the detail says which.
    BadNumber,
    /// It was recalled: it must not be eaten.
    RecalledPackages,
    /// Only jars found sealed come to the pantry.
    NotForThePantry,
    /// It is not recalled, or is already.
    RecallIsSo,
    /// Nothing was taken that could be judged.
    NothingTaken,
    /// There is no such command, or it was taken back already.
    NothingToTakeBack,
    /// It cannot be taken back any more.
    TooLateToTakeBack,
}

/// A refused command.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refusal {
    /// The reason, for programs.
    pub code: Code,
    /// What is wrong.
    pub detail: String,
    /// What to do instead.
    pub instead: String,
    /// The names and numbers in the sentences, for other languages.
    pub words: BTreeMap<String, String>,
}

impl Refusal {
    /// A refusal with its two sentences.
    pub fn new(code: Code, detail: impl Into<String>, instead: impl Into<String>) -> Refusal {
        Refusal {
            code,
            detail: detail.into(),
            instead: instead.into(),
            words: BTreeMap::new(),
        }
    }

    /// Adds a name or number of the sentences.
    pub fn with(mut self, word: &str, value: impl ToString) -> Refusal {
        self.words.insert(word.to_owned(), value.to_string());
        self
    }
}
