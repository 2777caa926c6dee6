//! Who the simulated helpers are: how fast, how patient, and what befalls them.
//!
//! Plain values out of `fixtures/demo/people.json`; nothing decides here. Minutes are of the day,
//! rates after common practice.

use crate::day::amount::Amount;
use crate::day::command::Place;
use crate::day::ids::*;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The family.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cast {
    /// Who leads: opens the day, clears up what is left over, closes.
    pub lead: HelperId,
    /// Minutes from the opening until work must be over.
    pub cut_off_min: u32,
    /// Minutes from the opening until the first box of a product is opened.
    pub begins_min: BTreeMap<ProductId, u32>,
    /// The people.
    pub people: BTreeMap<HelperId, Person>,
    /// What befalls them.
    pub happenings: Vec<Happening>,
}

/// One person's ways.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// Minutes for one carrier at each station they work at.
    pub minutes: BTreeMap<StationId, f64>,
    /// How much that varies, in percent either way.
    pub spread_percent: u32,
    /// Minutes from the opening until they come.
    #[serde(default)]
    pub arrives_min: u32,
    /// Minutes from the opening until they go home; never before closing, if absent.
    #[serde(default)]
    pub leaves_min: Option<u32>,
    /// Minutes at one station before they want another.
    pub stays_min: u32,
    /// Minutes between rests.
    pub rests_every_min: u32,
    /// Minutes a rest lasts.
    pub rest_min: u32,
    /// Whether they mind pots and canners.
    #[serde(default)]
    pub minds_heat: bool,
    /// Whether they see to chores.
    #[serde(default)]
    pub does_chores: bool,
}

/// Something worth watching.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(
    tag = "what",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
#[allow(
    missing_docs,
    reason = "the variant says what happens; minutes count from the opening"
)]
pub enum Happening {
    /// Fruit too soft for its product goes another way.
    SoftFruit {
        after_min: u32,
        helper: HelperId,
        at: Place,
        amount: Amount,
        to: Place,
    },
    /// Work that was not rinsed goes back.
    NotRinsed {
        after_min: u32,
        helper: HelperId,
        at: Place,
        amount: Amount,
        to: StationId,
        reason: String,
    },
    /// The scale says more than the board.
    Recount {
        after_min: u32,
        helper: HelperId,
        at: Place,
        more: Amount,
    },
    /// A carrier is counted twice and taken back.
    CountedTwice {
        after_min: u32,
        helper: HelperId,
        station: StationId,
    },
    /// Two change seats.
    Swap {
        after_min: u32,
        one: HelperId,
        other: HelperId,
    },
    /// Somebody is slow for a while.
    FallsBehind {
        from_min: u32,
        to_min: u32,
        helper: HelperId,
        station: StationId,
        times: f64,
    },
    /// Somebody taps the boil of the n-th load too early.
    EagerBoil { load: u32, helper: HelperId },
    /// The n-th load loses its boil.
    BoilLost { load: u32 },
    /// A jar of the n-th load cracks.
    BrokenJar { load: u32 },
    /// Something is written down.
    Note {
        after_min: u32,
        helper: HelperId,
        text: String,
    },
}
