//! What happened: facts in the past tense, enough to rebuild the day and nothing more.
//!
//! In JSON an event is an object whose `fact` names it. When it happened, its place in the journal
//! and the command it came from stand beside it in the journal. Stored events are never changed;
//! a new meaning gets a new name.

use super::amount::Amount;
use super::command::{
    CheckedJars, Destination, HurtKind, LoadJars, NoteOn, Place, ShortFate, SupplyAmounts,
};
use super::ids::*;
use super::plan::*;
use super::time::Timestamp;
use crate::trade::{Jar, TestedProcess};
use serde::{Deserialize, Serialize};

/// A fact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(
    tag = "fact",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
#[allow(
    missing_docs,
    reason = "fields are explained once, in plan.rs, command.rs or on the variant"
)]
pub enum Event {
    /// The day began.
    DayOpened { plan: Box<DayPlan> },
    /// The day's own settings changed; what is absent stayed.
    DayChanged {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        name: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        altitude_ft: Option<i32>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cut_off_at: Option<Timestamp>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        scraps_bucket_lb: Option<Amount>,
    },
    /// So much time passed unknown, and counts for no process that was running.
    TimeWasUnknown { ms: i64 },
    /// The day was closed.
    DayClosed {},
    /// The household's rule for ages was set.
    AgeRulesSet { rules: AgeRules },
    /// A shared thing was added or changed.
    ResourcePut {
        resource: ResourceId,
        plan: Resource,
    },
    /// A shared thing was taken away.
    ResourceRetired { resource: ResourceId },
    /// A station was added.
    StationAdded {
        station: StationId,
        plan: Box<Station>,
    },
    /// A station was changed.
    StationChanged {
        station: StationId,
        plan: Box<Station>,
    },
    /// A station was taken away.
    StationRetired { station: StationId },
    /// A station was set up.
    StationSetUp { station: StationId },
    /// A station was put away.
    StationPutAway { station: StationId },
    /// A helper was added.
    HelperAdded { helper: HelperId, plan: Helper },
    /// A helper was changed.
    HelperChanged { helper: HelperId, plan: Helper },
    /// A helper was taken off the list.
    HelperRetired { helper: HelperId },
    /// A product was added.
    ProductAdded {
        product: ProductId,
        plan: Box<Product>,
    },
    /// A product was changed.
    ProductChanged {
        product: ProductId,
        plan: Box<Product>,
    },
    /// A product was taken off the list.
    ProductRetired { product: ProductId },
    /// A lot was added.
    LotAdded { lot: LotId, plan: Lot },
    /// A lot was changed.
    LotChanged { lot: LotId, plan: Lot },
    /// A lot was taken off the list.
    LotRetired { lot: LotId },
    /// A supply was added.
    SupplyAdded { supply: SupplyId, plan: Supply },
    /// A supply was changed.
    SupplyChanged { supply: SupplyId, plan: Supply },
    /// A supply was taken off the list.
    SupplyRetired { supply: SupplyId },
    /// More of a supply came in.
    SupplyRestocked { supply: SupplyId, amount: Amount },
    /// A supply was counted; `was` is what the board had thought.
    SupplyRecounted {
        supply: SupplyId,
        amount: Amount,
        was: Amount,
    },
    /// A box was opened.
    BoxOpened {
        lot: LotId,
        product: ProductId,
        station: StationId,
        amount: Amount,
    },
    /// What was opened went back into its box; `layers` are taken out of what waits.
    BoxClosed {
        lot: LotId,
        product: ProductId,
        station: StationId,
        layers: Vec<Layer>,
    },

    /// A helper came.
    HelperArrived { helper: HelperId },
    /// A helper went home.
    HelperWentHome { helper: HelperId },
    /// A seat was taken.
    SeatTaken {
        helper: HelperId,
        station: StationId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beside: Option<HelperId>,
    },
    /// A seat was left.
    SeatLeft {
        helper: HelperId,
        station: StationId,
    },
    /// A helper began to rest.
    BreakBegan { helper: HelperId },
    /// A helper is rested.
    BreakEnded { helper: HelperId },
    /// Another adult stays within reach of a seated child.
    BesideChanged { helper: HelperId, adult: HelperId },
    /// A proposed move was set aside.
    MoveSetAside { r#move: String, gain_min: u32 },
    /// A proposed move was made, and was said to gain so many minutes.
    MoveTaken { r#move: String, gain_min: u32 },

    /// Carriers were done.
    Tallied {
        station: StationId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        product: ProductId,
        parts: Vec<Part>,
        onward: Onward,
        trims_lb: Amount,
        #[serde(default)]
        drawn: SupplyAmounts,
    },
    /// A tally was taken back, wholly.
    TallyUndone {
        station: StationId,
        tally: uuid::Uuid,
    },
    /// Work left its route.
    Diverted {
        station: StationId,
        product: ProductId,
        portions: Vec<Portion>,
        to: Destination,
        /// What it is where it went, lot by lot; the same as taken unless another measure counts.
        arrived: Vec<LotAmount>,
    },
    /// Waiting work was counted.
    Recounted {
        station: StationId,
        product: ProductId,
        lot: LotId,
        amount: Amount,
        was: Amount,
    },
    /// Part of a lot got a name of its own.
    LotSplit {
        lot: LotId,
        new_lot: LotId,
        plan: Lot,
        amount: Amount,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        waiting_at: Option<Place>,
        /// What was taken of the waiting, oldest first; empty when unopened boxes were split.
        #[serde(default)]
        layers: Vec<Layer>,
    },
    /// Work went back to an earlier station.
    SentBack {
        station: StationId,
        product: ProductId,
        portions: Vec<Portion>,
        to: StationId,
        arrived: Vec<LotAmount>,
        reason: String,
    },

    /// A pot was filled.
    PotFilled {
        station: StationId,
        pot: PotId,
        product: ProductId,
        portions: Vec<Portion>,
    },
    /// What was in a pot went back to waiting.
    PotEmptied { station: StationId, pot: PotId },
    /// A pot began to cook.
    PotStarted {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minder: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        backup: Option<HelperId>,
    },
    /// A pot was stirred.
    PotStirred {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        thickness: Thickness,
    },
    /// A pot has another minder, or none.
    PotHandedOver {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minder: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        backup: Option<HelperId>,
    },
    /// A pot was done and emptied onward.
    PotFinished {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        product: ProductId,
        parts: Vec<Part>,
        onward: Onward,
        trims_lb: Amount,
        #[serde(default)]
        drawn: SupplyAmounts,
    },

    /// What was in a pot was thrown away.
    PotScrapped {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        product: ProductId,
        portions: Vec<Portion>,
        reason: String,
    },

    /// The jars waiting at the canner were confirmed.
    JarsConfirmed {
        product: ProductId,
        acid: bool,
        sterile: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// Jars were put into a canner.
    LoadBuilt {
        load: LoadId,
        station: StationId,
        canner: CannerId,
        jars: Vec<LoadPart>,
        process: LoadProcess,
    },
    /// The jars were taken out again before any heat.
    LoadCancelled { load: LoadId },
    /// The canner is on the heat.
    LoadHeated { load: LoadId },
    /// A pressure canner is being vented.
    VentBegan { load: LoadId },
    /// The boil or pressure was reached; the time runs from here.
    BoilReached { load: LoadId },
    /// The boil or pressure was lost; the time counts for nothing.
    BoilWasLost { load: LoadId },
    /// The heat is off. `short` when the time was not full.
    HeatTurnedOff { load: LoadId, short: bool },
    /// The pressure of a canner has come to zero.
    PressureFell { load: LoadId },
    /// The jars are out.
    LoadLifted {
        load: LoadId,
        broken: Vec<LoadJars>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        fate: Option<ShortFate>,
    },

    /// Seals were checked; each entry names its lot.
    SealsChecked {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        jars: Vec<CheckedJars>,
    },

    /// A chore was raised.
    ChoreRaised {
        chore: ChoreId,
        kind: ChoreKind,
        text: String,
    },
    /// Somebody sees to a chore.
    ChoreTaken { chore: ChoreId, helper: HelperId },
    /// A chore is done; nobody is named when the flow itself settled it.
    ChoreFinished {
        chore: ChoreId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// What once raised a chore is past, so it may be raised again.
    ChoreSettled { kind: ChoreKind },
    /// Something was written down.
    Noted { on: NoteOn, text: String },
    /// A thing on the list to gather was counted or ticked; without `have`, that was taken back.
    Gathered {
        item: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        have: Option<Amount>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },

    /// Somebody sees to what rang.
    AlarmTaken { alarm: String, helper: HelperId },
    /// A cooking pot has a backup.
    BackupNamed {
        station: StationId,
        pot: PotId,
        helper: HelperId,
    },
    /// Someone is hurt, or more is known of it. What of theirs was freed by it stands here too, so
    /// that it can be given back.
    HurtReported {
        hurt: HurtId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        station: Option<StationId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        kind: Option<HurtKind>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        freed: Option<Freed>,
    },
    /// Nobody was hurt: it had been tapped by mistake.
    HurtTakenBack { hurt: HurtId },
    /// A grown-up is with them.
    HurtWasTended { hurt: HurtId, helper: HelperId },
}

/// What somebody had who left all of it at once.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Freed {
    /// Seats: their own, and those of children who had them beside.
    pub seats: Vec<FreedSeat>,
    /// Cooking pots they minded.
    pub pots: Vec<FreedPot>,
}

/// A seat that was freed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FreedSeat {
    /// Whose it was.
    pub helper: HelperId,
    /// Where.
    pub station: StationId,
    /// The adult that was within reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside: Option<HelperId>,
}

/// A cooking pot that was handed on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FreedPot {
    /// Where.
    pub station: StationId,
    /// Which.
    pub pot: PotId,
    /// Who minded it.
    pub minder: HelperId,
    /// Who was the backup.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub backup: Option<HelperId>,
    /// Who minds it since.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<HelperId>,
}

/// Waiting work of one age.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Layer {
    /// Since when it waits.
    pub since: Timestamp,
    /// How much.
    pub amount: Amount,
}

/// Work of one lot taken out of waiting, with its ages.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Portion {
    /// Which lot.
    pub lot: LotId,
    /// What was taken, oldest first.
    pub layers: Vec<Layer>,
}

impl Portion {
    /// The whole of it.
    pub fn amount(&self) -> Amount {
        self.layers.iter().map(|layer| layer.amount).sum()
    }
}

/// Work of one lot that was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    /// Which lot.
    pub lot: LotId,
    /// What was taken, oldest first, in the measure of this step.
    pub layers: Vec<Layer>,
    /// What went on, in the measure of the next.
    pub made: Amount,
    /// What the yield had promised; `made` differs only where somebody measured.
    pub promised: Amount,
    /// How the remainder of the yield changed, in `1/from` of a thousandth.
    pub remainder_change: i64,
}

impl Part {
    /// All that was taken.
    pub fn taken(&self) -> Amount {
        self.layers.iter().map(|layer| layer.amount).sum()
    }
}

/// So much of a lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LotAmount {
    /// Which lot.
    pub lot: LotId,
    /// How much.
    pub amount: Amount,
}

/// Where done work went on to.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(
    tag = "as",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
pub enum Onward {
    /// It waits at the next station.
    Step {
        /// Of which product.
        product: ProductId,
        /// Which station.
        station: StationId,
    },
    /// It is a finished package.
    Finished {},
    /// It joined a supply.
    Stock {
        /// Which supply.
        supply: SupplyId,
    },
}

/// Jars of one lot in a load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LoadPart {
    /// Which product.
    pub product: ProductId,
    /// The jars, with the moments they were filled.
    pub portion: Portion,
}

/// The process a load gets: the longest any of its jars needs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LoadProcess {
    /// The tested process that decides.
    pub tested: TestedProcess,
    /// The product it is for.
    pub decided_by: ProductId,
    /// The jar it is for.
    pub jar: Jar,
}

/// What a chore is about. The same kind is not raised twice while it is open.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(
    tag = "about",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
#[allow(missing_docs, reason = "fields are explained once, in plan.rs")]
pub enum ChoreKind {
    /// The scraps bucket is full.
    Scraps {},
    /// A pot must be washed.
    DirtyPot { station: StationId, pot: PotId },
    /// A supply runs low.
    SupplyLow { supply: SupplyId },
    /// The first station wants its next box.
    NextBox { product: ProductId, lot: LotId },
    /// A cooking pot has nobody to mind it.
    UnmindedPot { station: StationId, pot: PotId },
    /// All seals of a load were checked: bands off, wash, label, shelve.
    Shelve { load: LoadId },
    /// Anything else somebody asked for.
    Asked {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        station: Option<StationId>,
        name: ChoreId,
    },
}
