//! The day as it stands: what [`super::apply`] has built from the events.
//!
//! Nothing here decides or changes; the questions on it are read-only. Its JSON is kept in
//! snapshots, so a change of shape needs a new [`STATE_VERSION`].

mod load;
mod questions;

use super::amount::{Amount, Measure};
use super::command::{HurtKind, NoteOn, SupplyAmounts};
use super::event::{ChoreKind, Freed, Onward, Part, Portion};
use super::flow::Lots;
use super::ids::*;
use super::plan::*;
use super::time::{HOUR_MS, Timestamp};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use uuid::Uuid;

pub use load::{Load, LoadPhase};

/// The version of [`State`]'s stored shape.
pub const STATE_VERSION: u32 = 3;

/// How many tallies of a station can be taken back.
pub const TALLIES_KEPT: usize = 20;

/// Where a day is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// Not opened yet.
    #[default]
    None,
    /// Work goes on.
    Open,
    /// Closed.
    Closed,
}

/// The whole day.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct State {
    /// Where the day is.
    pub phase: Phase,
    /// What it is called.
    pub name: String,
    /// Its civil date.
    pub date: String,
    /// When it was opened.
    pub opened_at: Timestamp,
    /// When it was closed.
    pub closed_at: Option<Timestamp>,
    /// When work must be over.
    pub cut_off_at: Option<Timestamp>,
    /// Height above sea level in feet.
    pub altitude_ft: Option<i32>,
    /// Pounds that fill the scraps bucket.
    pub scraps_bucket_lb: Amount,
    /// Pounds in it now.
    pub scraps_lb: Amount,
    /// The household's rule for ages; `None` before the day is opened.
    pub age_rules: Option<AgeRules>,
    /// Shared things.
    pub resources: BTreeMap<ResourceId, Resource>,
    /// Stations, the retired ones too.
    pub stations: BTreeMap<StationId, StationState>,
    /// People, the retired ones too.
    pub helpers: BTreeMap<HelperId, HelperState>,
    /// Products, the retired ones too.
    pub products: BTreeMap<ProductId, ProductState>,
    /// Lots, the retired ones too.
    pub lots: BTreeMap<LotId, LotState>,
    /// Supplies, the retired ones too.
    pub supplies: BTreeMap<SupplyId, SupplyState>,
    /// The ledgers: station, product, lot.
    pub flows: BTreeMap<StationId, BTreeMap<ProductId, Lots>>,
    /// Loads.
    pub loads: BTreeMap<LoadId, Load>,
    /// Chores, the finished ones too, so that an id is never used twice.
    pub chores: BTreeMap<ChoreId, Chore>,
    /// What has raised a chore and is not settled yet.
    pub raised: BTreeSet<ChoreKind>,
    /// Notes in the order written.
    pub notes: Vec<Note>,
    /// Proposed moves that were not wanted, by name; those of the last hour count.
    #[serde(default)]
    pub set_aside: BTreeMap<String, SetAside>,
    /// Who took which alarm, by its key.
    #[serde(default)]
    pub alarms_taken: BTreeMap<String, TakenAlarm>,
    /// Calls that someone is hurt, the past ones too, so that an id is never used twice.
    #[serde(default)]
    pub hurts: BTreeMap<HurtId, Hurt>,
    /// What was counted of the list to gather, by the id of the thing.
    #[serde(default)]
    pub gathered: BTreeMap<String, Gathered>,
}

/// A thing of the list to gather that somebody looked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Gathered {
    /// How much is there, in thousandths of its unit; one for what is ticked.
    pub have: Amount,
    /// Who looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub helper: Option<HelperId>,
    /// When.
    pub at: Timestamp,
}

/// A taken alarm.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenAlarm {
    /// Who sees to it.
    pub helper: HelperId,
    /// Since when.
    pub at: Timestamp,
}

/// A call that someone is hurt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hurt {
    /// When it was said.
    pub at: Timestamp,
    /// Who, once that is known.
    pub helper: Option<HelperId>,
    /// Where, if that was said.
    pub station: Option<StationId>,
    /// What kind, if that was said.
    pub kind: Option<HurtKind>,
    /// What of theirs was freed.
    pub freed: Option<Freed>,
    /// The adult who is with them.
    pub tended_by: Option<HelperId>,
    /// Whether it was a mistaken tap.
    pub taken_back: bool,
}

impl Hurt {
    /// Whether every screen still shows it.
    pub fn is_open(&self) -> bool {
        self.tended_by.is_none() && !self.taken_back
    }
}

/// A proposed move that was not wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetAside {
    /// When that was said.
    pub at: Timestamp,
    /// The minutes it was to gain then.
    pub gain_min: u32,
}

impl SetAside {
    /// Whether it still holds: for an hour.
    pub fn counts_at(&self, now: Timestamp) -> bool {
        now.ms_since(self.at) < HOUR_MS
    }
}

/// A station as it stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StationState {
    /// Its definition.
    pub plan: Station,
    /// Whether it stands ready.
    pub set_up: bool,
    /// Whether it was taken away for good.
    pub retired: bool,
    /// Who sits there.
    pub seats: BTreeMap<HelperId, Seat>,
    /// Its pots.
    pub pots: BTreeMap<PotId, PotState>,
    /// The last tallies, oldest first.
    pub tallies: VecDeque<Tally>,
    /// When something was last done here.
    pub tallied_at: Option<Timestamp>,
}

/// A taken seat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seat {
    /// Since when.
    pub since: Timestamp,
    /// The adult within reach, where the house rule asks for one.
    pub beside: Option<HelperId>,
}

/// A tally that may still be taken back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tally {
    /// The command it came with.
    pub command: Uuid,
    /// When.
    pub at: Timestamp,
    /// By whom.
    pub helper: Option<HelperId>,
    /// Of which product.
    pub product: ProductId,
    /// What was taken and made.
    pub parts: Vec<Part>,
    /// Where it went.
    pub onward: Onward,
    /// Trimmings in pounds.
    pub trims_lb: Amount,
    /// What was drawn from the supplies.
    pub drawn: SupplyAmounts,
}

/// A pot as it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PotState {
    /// Whether it must be washed first.
    pub dirty: bool,
    /// What is in it.
    pub batch: Option<Batch>,
}

/// What is in a pot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Batch {
    /// Which product.
    pub product: ProductId,
    /// How much of which lots, with the ages it had.
    pub portions: Vec<Portion>,
    /// When the first of it went in.
    pub filled_at: Timestamp,
    /// Its cooking, once the heat is on.
    pub cooking: Option<Cooking>,
}

impl Batch {
    /// All that is in the pot.
    pub fn amount(&self) -> Amount {
        self.portions.iter().map(Portion::amount).sum()
    }
}

/// A pot on the heat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cooking {
    /// Since when.
    pub started_at: Timestamp,
    /// When it was last stirred, or started.
    pub stirred_at: Timestamp,
    /// How thick it is.
    pub thickness: Thickness,
    /// Who minds it.
    pub minder: Option<HelperId>,
    /// Who steps in.
    pub backup: Option<HelperId>,
}

/// Where a helper is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Presence {
    /// Comes later.
    Expected,
    /// In the kitchen.
    Here,
    /// Resting.
    Resting,
    /// Gone home.
    Gone,
}

/// A helper as they stand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HelperState {
    /// Who they are.
    pub plan: Helper,
    /// Whether they were taken off the list.
    pub retired: bool,
    /// Where they are.
    pub presence: Presence,
    /// Since when.
    pub since: Timestamp,
    /// Where they sit.
    pub station: Option<StationId>,
}

/// A product as it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ProductState {
    /// Its definition.
    pub plan: Product,
    /// Whether it was taken off the list.
    pub retired: bool,
    /// Finished packages by lot.
    pub finished: BTreeMap<LotId, Amount>,
    /// The jars at the canner that were filled until then got their acid.
    pub acid_until: Option<Timestamp>,
    /// The jars at the canner that were filled until then were sterilised.
    pub sterile_until: Option<Timestamp>,
    /// How much went down each branch of a step that splits, in the order of its branches.
    pub sent: BTreeMap<StationId, Vec<Amount>>,
}

/// A lot as it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LotState {
    /// Its definition.
    pub plan: Lot,
    /// Whether it was taken off the list.
    pub retired: bool,
    /// What is still in boxes.
    pub unopened: Amount,
    /// What was opened.
    pub opened: Amount,
    /// What was given to another lot before it was opened.
    pub split: Amount,
    /// What of it went into supplies.
    pub stocked: Amount,
}

/// A supply as it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SupplyState {
    /// Its definition.
    pub plan: Supply,
    /// Whether it was taken off the list.
    pub retired: bool,
    /// How much is there.
    pub stock: Amount,
    /// What came in, the start among it.
    pub restocked: Amount,
    /// What its own feeding work brought.
    pub fed: Amount,
    /// What work drew.
    pub drawn: Amount,
    /// What counts found, more or (negative) less.
    pub recounted: Amount,
}

/// Work beside the flow.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chore {
    /// What it is about.
    pub kind: ChoreKind,
    /// In words.
    pub text: String,
    /// When it was raised.
    pub raised_at: Timestamp,
    /// Who sees to it.
    pub taken_by: Option<HelperId>,
    /// When it was done.
    pub finished_at: Option<Timestamp>,
}

/// Something written down.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// When.
    pub at: Timestamp,
    /// About what.
    pub on: NoteOn,
    /// The words.
    pub text: String,
}
