//! What people order: every command a device can give.
//!
//! In JSON a command is an object whose `order` names it: `{"order":"claim","helper":"wren",
//! "station":"wash"}`. The id, the actor and the time travel beside it, never in it.

use super::amount::{Amount, Measure};
use super::ids::*;
use super::plan::*;
use super::time::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Who orders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Sets up, corrects, decides.
    Lead,
    /// Works.
    Helper,
    /// Looks on.
    Watcher,
}

/// When, by whom and under which id a command is given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moment {
    /// The server's time.
    pub now: Timestamp,
    /// The command's id, made by the device and never used twice.
    pub command: Uuid,
    /// What the device may do.
    pub role: Role,
}

/// An order. Fields named `lot` may be left out: the oldest waiting fruit is taken first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(
    tag = "order",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
#[allow(
    missing_docs,
    reason = "fields are explained once, in plan.rs or on the variant"
)]
pub enum Command {
    /// Open a day.
    OpenDay { plan: Box<DayPlan> },
    /// Change what the day is called, how high the kitchen lies or when work ends.
    ChangeDay {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        name: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        altitude_ft: Option<i32>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cut_off_at: Option<Timestamp>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        scraps_bucket_lb: Option<Amount>,
    },
    /// The board was off and nobody can know for how long: so much of the time counts for no
    /// process. Given by the board itself when it starts.
    TimeUnknown { ms: i64 },
    /// Close the day. Refused while a pot cooks or a canner is hot.
    CloseDay {},
    /// Set the household's rule for ages.
    SetAgeRules { rules: AgeRules },
    /// Add a shared thing, or change it.
    PutResource {
        resource: ResourceId,
        plan: Resource,
    },
    /// Take a shared thing away.
    RetireResource { resource: ResourceId },
    /// Add a station.
    AddStation {
        station: StationId,
        plan: Box<Station>,
    },
    /// Change a station.
    ChangeStation {
        station: StationId,
        plan: Box<Station>,
    },
    /// Take a station away for good.
    RetireStation { station: StationId },
    /// Set a station up, if need be in the place of another.
    SetUp {
        station: StationId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instead_of: Option<StationId>,
    },
    /// Put a station away for now.
    PutAway { station: StationId },
    /// Add a helper.
    AddHelper { helper: HelperId, plan: Helper },
    /// Change a helper.
    ChangeHelper { helper: HelperId, plan: Helper },
    /// Take a helper off the list.
    RetireHelper { helper: HelperId },
    /// Add a product.
    AddProduct {
        product: ProductId,
        plan: Box<Product>,
    },
    /// Change a product.
    ChangeProduct {
        product: ProductId,
        plan: Box<Product>,
    },
    /// Take a product off the list.
    RetireProduct { product: ProductId },
    /// Add a lot.
    AddLot { lot: LotId, plan: Lot },
    /// Change a lot: its name, the box size, how much came in.
    ChangeLot { lot: LotId, plan: Lot },
    /// Take a lot off the list.
    RetireLot { lot: LotId },
    /// Add a supply.
    AddSupply { supply: SupplyId, plan: Supply },
    /// Change a supply's name, unit or low mark (its count changes by restock and recount).
    ChangeSupply { supply: SupplyId, plan: Supply },
    /// Take a supply off the list.
    RetireSupply { supply: SupplyId },
    /// More of a supply came in.
    Restock { supply: SupplyId, amount: Amount },
    /// So much of a supply is really there.
    RecountSupply { supply: SupplyId, amount: Amount },
    /// Open a box of a lot: it joins the first station of the product.
    OpenBox {
        lot: LotId,
        product: ProductId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        amount: Option<Amount>,
    },
    /// Put so much of an opened box back, unworked: the opening was a mistake.
    CloseBox {
        lot: LotId,
        product: ProductId,
        amount: Amount,
    },

    /// Somebody came.
    Arrive { helper: HelperId },
    /// Somebody goes home. In a hurry nothing is asked first.
    GoHome {
        helper: HelperId,
        #[serde(default)]
        hurry: bool,
    },
    /// Take a free seat.
    Claim {
        helper: HelperId,
        station: StationId,
        /// The adult within reach, where the house rule asks for one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beside: Option<HelperId>,
    },
    /// Leave the seat.
    Leave { helper: HelperId },
    /// Go from one seat to another.
    Switch {
        helper: HelperId,
        station: StationId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beside: Option<HelperId>,
    },
    /// Two helpers change seats.
    Swap {
        one: HelperId,
        other: HelperId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beside_one: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beside_other: Option<HelperId>,
    },
    /// Rest; the seat becomes free.
    TakeBreak { helper: HelperId },
    /// Rested.
    EndBreak { helper: HelperId },
    /// Another adult stays within reach of a seated child.
    StayBeside { helper: HelperId, adult: HelperId },

    /// A move that the board proposes is not wanted for now. `gain_min` is the minutes it was shown
    /// with: it may come back when it would gain much more.
    SetAsideMove { r#move: String, gain_min: u32 },
    /// The seats were changed as the board proposed; the change itself was ordered before. Kept for
    /// the look back. `gain_min` is the minutes it was shown with.
    TakeMove { r#move: String, gain_min: u32 },

    /// One carrier done here (or `amount`).
    Tally {
        station: StationId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        /// May be left out while only one product waits here.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product: Option<ProductId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<LotId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        amount: Option<Amount>,
        /// Which branch it goes on to, where the way splits.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        to: Option<Place>,
    },
    /// Take back the last tally at a station (of this helper, if named).
    UndoTally {
        station: StationId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// Work leaves its route.
    Divert {
        station: StationId,
        product: ProductId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<LotId>,
        amount: Amount,
        to: Destination,
        /// How much it makes there, when that place counts in another measure.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        becomes: Option<Amount>,
    },
    /// So much is really waiting here.
    Recount {
        station: StationId,
        product: ProductId,
        lot: LotId,
        amount: Amount,
    },
    /// Part of a lot gets a name of its own: out of the unopened boxes, or of what waits at a
    /// station.
    SplitLot {
        lot: LotId,
        new_lot: LotId,
        name: String,
        amount: Amount,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        waiting_at: Option<Place>,
    },
    /// Work goes back to an earlier station of its route.
    SendBack {
        station: StationId,
        product: ProductId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<LotId>,
        amount: Amount,
        to: StationId,
        reason: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        becomes: Option<Amount>,
    },

    /// Put waiting work into a pot.
    FillPot {
        station: StationId,
        pot: PotId,
        product: ProductId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<LotId>,
        /// As much as waits and fits, if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        amount: Option<Amount>,
    },
    /// Put what is in a pot that is not cooking back to waiting.
    EmptyPot { station: StationId, pot: PotId },
    /// Heat on.
    StartPot {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minder: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        backup: Option<HelperId>,
    },
    /// Stirred, and how thick it was.
    Stirred {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        thickness: Option<Thickness>,
    },
    /// Another pair of eyes for a cooking pot.
    HandOverPot {
        station: StationId,
        pot: PotId,
        minder: HelperId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        backup: Option<HelperId>,
    },
    /// The pot is done and emptied onward.
    PotDone {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        /// What it really made, in the measure of the next step; by the yield, if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        made: Option<Amount>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        to: Option<Place>,
    },

    /// What is in a pot is thrown away: scorched, or spoilt.
    ScrapPot {
        station: StationId,
        pot: PotId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        reason: String,
    },

    /// The jars of a product that wait at the canner got their acid, or were sterilised, as its
    /// tested process asks. Jars filled later are asked about again.
    ConfirmJars {
        product: ProductId,
        #[serde(default, skip_serializing_if = "is_false")]
        acid: bool,
        #[serde(default, skip_serializing_if = "is_false")]
        sterile: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// Put waiting jars into a canner.
    BuildLoad {
        load: LoadId,
        station: StationId,
        canner: CannerId,
        jars: Vec<LoadJars>,
        /// The lead has seen that different products or jars share it, for the longest time.
        #[serde(default, skip_serializing_if = "is_false")]
        mixed: bool,
    },
    /// Change what is in a load that is not heating yet.
    ChangeLoad {
        load: LoadId,
        jars: Vec<LoadJars>,
        #[serde(default, skip_serializing_if = "is_false")]
        mixed: bool,
    },
    /// Take the jars out again before any heat.
    CancelLoad { load: LoadId },
    /// The canner with its jars is on the heat.
    HeatLoad {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// A steady plume of steam is seen: a pressure canner is being vented.
    Vent {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// A full rolling boil is seen (or the pressure is reached after venting): the time starts.
    RollingBoil {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// The boil (or the pressure) was lost: the whole time starts again at the next one.
    BoilLost {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// Heat off, lid off. Before the time is over only with `end_early`, by the lead.
    HeatOff {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        #[serde(default)]
        end_early: bool,
    },
    /// The gauge of a pressure canner has come to zero by itself.
    PressureZero {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// The jars are out. Jars whose time was not full need a `fate`.
    LiftLoad {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        #[serde(default)]
        broken: Vec<LoadJars>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        fate: Option<ShortFate>,
    },

    /// The seals of a load's jars were checked: the only way to the shelf.
    CheckSeals {
        load: LoadId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        jars: Vec<CheckedJars>,
    },

    /// Ask for work beside the flow.
    RaiseChore {
        chore: ChoreId,
        text: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        station: Option<StationId>,
    },
    /// Somebody sees to it.
    TakeChore { chore: ChoreId, helper: HelperId },
    /// It is done.
    FinishChore {
        chore: ChoreId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },
    /// Write something down.
    Note { on: NoteOn, text: String },
    /// So much is there of a thing on the list to gather (1 for what is ticked); without `have` it
    /// is as if nobody had looked. `item` is its id in that list.
    Gather {
        item: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        have: Option<Amount>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
    },

    /// Somebody goes and sees to what rings. `alarm` is its key, as the view has it.
    TakeAlarm { alarm: String, helper: HelperId },
    /// Who steps in for a cooking pot when its minder leaves.
    NameBackup {
        station: StationId,
        pot: PotId,
        helper: HelperId,
    },
    /// Someone is hurt. Said again with the same id it may add who, where and what.
    ReportHurt {
        hurt: HurtId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        helper: Option<HelperId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        station: Option<StationId>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        kind: Option<HurtKind>,
    },
    /// Nobody is hurt: a mistaken tap. Seats and pots are as before where that still goes.
    TakeBackHurt { hurt: HurtId },
    /// A grown-up is with them.
    HurtTended { hurt: HurtId, helper: HelperId },
}

/// What kind of hurt, as far as first aid differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HurtKind {
    /// By something hot.
    Burn,
    /// By steam or hot liquid.
    Scald,
    /// By a blade or broken glass.
    Cut,
    /// On the floor.
    Fall,
    /// None of these.
    Other,
}

/// A station on a product's route.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Which product.
    pub product: ProductId,
    /// Which station of its route.
    pub station: StationId,
}

/// Where diverted work goes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(
    tag = "as",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
pub enum Destination {
    /// Another product's route.
    Route {
        /// Which product.
        product: ProductId,
        /// At which station it joins.
        station: StationId,
    },
    /// Eaten now or given away.
    Fresh {},
    /// Thrown away.
    Scraps {},
    /// Into the refrigerator, to be eaten soon.
    Refrigerator {},
    /// Into the freezer.
    Freezer {},
}

/// What becomes of jars whose process was not full.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShortFate {
    /// Eaten soon from the refrigerator.
    Refrigerate,
    /// Into the freezer.
    Freeze,
    /// Into a new load at once, for the whole time.
    Reprocess,
}

/// So many jars of a product (and lot) in a load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadJars {
    /// Which product.
    pub product: ProductId,
    /// Which lot; the oldest, if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<LotId>,
    /// How many jars.
    pub jars: u32,
}

fn is_false(value: &bool) -> bool {
    !value
}

/// How the jars of a product (and lot) were found at the seal check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckedJars {
    /// Which product.
    pub product: ProductId,
    /// Which lot; may be left out while the load holds one lot of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<LotId>,
    /// Sealed: they go to the shelf.
    #[serde(default)]
    pub sealed: u32,
    /// Not sealed, into the refrigerator.
    #[serde(default)]
    pub refrigerated: u32,
    /// Not sealed, into the freezer.
    #[serde(default)]
    pub frozen: u32,
    /// Not sealed, reheated and refilled under a new lid for another load.
    #[serde(default)]
    pub reprocessed: u32,
    /// Broken, or thrown away.
    #[serde(default)]
    pub broken: u32,
}

impl CheckedJars {
    /// All of them.
    pub fn total(&self) -> u64 {
        let counts = [
            self.sealed,
            self.refrigerated,
            self.frozen,
            self.reprocessed,
            self.broken,
        ];
        counts.into_iter().map(u64::from).sum()
    }
}

/// What a note is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(
    tag = "about",
    content = "id",
    rename_all = "kebab-case",
    deny_unknown_fields
)]
pub enum NoteOn {
    /// The whole day.
    Day,
    /// A lot.
    Lot(LotId),
    /// A load.
    Load(LoadId),
    /// A station.
    Station(StationId),
    /// A product.
    Product(ProductId),
}

/// What a scrap of a measure weighs in pounds, for the scraps bucket only. A quart of fruit is
/// taken as two pounds (common practice, no source); pieces are not weighed.
pub fn scrap_lb(measure: Measure, amount: Amount) -> Amount {
    let (made, from) = match measure {
        Measure::Lb => (1000, 1000),
        Measure::Kg => (2205, 1000),
        Measure::Cup => (500, 1000),
        Measure::Qt | Measure::L => (2000, 1000),
        Measure::Piece | Measure::Jar | Measure::Bag | Measure::Tub => (0, 1000),
    };
    super::amount::Ratio { made, from }.convert(amount, 0).0
}

/// Amounts by supply.
pub type SupplyAmounts = BTreeMap<SupplyId, Amount>;
