//! What screens are told of what is to come.
//!
//! Maps keyed by id like the public view; absent means unknown or not so. Moments are milliseconds
//! since 1970, spans are minutes with one decimal, shares lie between 0 and 1.

use crate::day::ids::{HelperId, LotId, ProductId, StationId};
use crate::day::time::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The outlook of a day at a moment.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Outlook {
    /// For which moment it was made.
    pub at: Timestamp,
    /// How many days were simulated for it.
    pub runs: u32,
    /// When the day ends; absent when nothing is left to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finish: Option<Band>,
    /// The chance to be done by the cut-off; absent without one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_cut_off: Option<f64>,
    /// How the finish was seen earlier today, oldest first.
    pub earlier: Vec<Earlier>,
    /// By station.
    pub stations: BTreeMap<StationId, StationOutlook>,
    /// By product with work left.
    pub products: BTreeMap<ProductId, ProductOutlook>,
    /// By canner station.
    pub canners: BTreeMap<StationId, CannerOutlook>,
    /// By helper.
    pub helpers: BTreeMap<HelperId, HelperOutlook>,
    /// What holds the kitchen up now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holds_up_now: Option<HoldsUpNow>,
    /// What sets the finish.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sets_finish: Option<SetsFinish>,
    /// Moves worth making, best first; at most three.
    pub moves: Vec<Move>,
    /// Why no move is proposed, when none is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stay: Option<Stay>,
    /// What helps without moving anybody, most urgent first.
    pub wins: Vec<Win>,
    /// What would happen if.
    pub what_if: Vec<WhatIf>,
    /// By lot with unopened boxes: the last moment to open one more.
    pub last_box: BTreeMap<LotId, LastBox>,
    /// The present pace against the best possible with these people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pace: Option<PaceAgainstBest>,
}

/// A moment that is not sure: one day in ten is earlier than `p10`, one in ten later than `p90`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Band {
    /// The early end.
    pub p10: Timestamp,
    /// As often earlier as later.
    pub p50: Timestamp,
    /// The late end.
    pub p90: Timestamp,
}

/// The finish as it was seen at an earlier moment.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Earlier {
    /// When.
    pub at: Timestamp,
    /// What was seen.
    #[serde(flatten)]
    pub band: Band,
}

/// What a station is doing now.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Doing {
    /// Work goes on.
    Working,
    /// Hands or places are ready and nothing waits.
    Starved,
    /// Work cannot go on: no jars, no canner, no room behind.
    Blocked,
    /// Work waits and nobody is there.
    Unstaffed,
    /// Nothing waits, and nothing more will come today.
    #[default]
    Finished,
    /// Not set up.
    PutAway,
}

/// A station.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct StationOutlook {
    /// What it is doing now.
    pub doing: Doing,
    /// Minutes of work that wait here, for those who sit here (for one usual helper if nobody
    /// does; for the pots or canners there are).
    pub depth_min: f64,
    /// Minutes until nothing waits here; absent when nothing waits now or it never runs out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dry_in_min: Option<f64>,
    /// Shares of the last half hour.
    pub working: f64,
    /// Ready and nothing waited.
    pub starved: f64,
    /// Could not go on.
    pub blocked: f64,
    /// In which share of the simulated days it sets the finish.
    pub sets_finish: f64,
    /// Minutes the day would end earlier if work here went a tenth faster; absent for a tested
    /// process, which has its time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tenth_faster_min: Option<f64>,
    /// The queue of the last hour in carriers, as (moment, carriers), at most 60 points.
    pub queue: Vec<(Timestamp, f64)>,
}

/// A product with work left.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct ProductOutlook {
    /// When the last of it is made.
    pub finish: Band,
    /// Packages at the end of the day, those already made among them.
    pub made_p10: f64,
    /// The middle.
    pub made_p50: f64,
    /// The upper end.
    pub made_p90: f64,
}

/// The loads to come at a canner station.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CannerOutlook {
    /// Loads still to start: the middle.
    pub loads_p50: u32,
    /// The upper end.
    pub loads_p90: u32,
    /// When the next loads start, at most six.
    pub next: Vec<Band>,
    /// Minutes its canners will stand without a load before the last.
    pub idle_min: f64,
}

/// A helper.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HelperOutlook {
    /// Minutes until nothing waits at their seat, if that is within the hour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dry_in_min: Option<f64>,
    /// Where they could go, best first, at most four: allowed, with a free seat.
    pub choices: Vec<Choice>,
    /// How fast they are, as far as was seen.
    pub rates: BTreeMap<StationId, RateOutlook>,
}

/// A station a helper could go to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// Where.
    pub station: StationId,
    /// Minutes of work waiting there.
    pub waiting_min: f64,
    /// Whether nobody sits there.
    pub needs_hands: bool,
    /// Whether they like that work.
    pub likes: bool,
    /// Whether a grown-up must stay beside.
    pub with_adult: bool,
}

/// A learned rate in carriers an hour of work.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct RateOutlook {
    /// The middle.
    pub per_hour: f64,
    /// The lower tenth.
    pub low: f64,
    /// The upper tenth.
    pub high: f64,
    /// Carriers it rests on.
    pub seen: f64,
}

/// What holds the kitchen up now.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HoldsUpNow {
    /// The station.
    pub station: StationId,
    /// Minutes it has worked without a pause.
    pub without_pause_min: f64,
    /// The station after it that waits for work, if one does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub starves: Option<StationId>,
}

/// What sets the finish.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetsFinish {
    /// The station.
    pub station: StationId,
    /// In how many of the simulated days.
    pub share: f64,
}

/// A change of seats that is worth it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Move {
    /// Its name, the same for the same change.
    pub id: String,
    /// Who goes where; two for a swap.
    pub steps: Vec<MoveStep>,
    /// Minutes the day ends earlier, by days simulated afresh.
    pub gain_min: f64,
    /// In which share of them it does.
    pub sure: f64,
    /// Why.
    pub why: Why,
}

/// One helper of a move.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MoveStep {
    /// Who.
    pub helper: HelperId,
    /// From where; absent for somebody without a seat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<StationId>,
    /// Where to.
    pub to: StationId,
    /// The adult who stays beside, where the house rule asks for one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside: Option<HelperId>,
}

/// Why a move helps.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(
    tag = "because",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
pub enum Why {
    /// The station sets the finish and has work waiting.
    SetsFinish {
        /// Which.
        station: StationId,
        /// Minutes of work that wait there.
        waiting_min: f64,
    },
    /// Food stands longer than it should.
    Stands {
        /// Where.
        station: StationId,
        /// What.
        product: ProductId,
    },
    /// Who goes has nothing to do where they are.
    NothingToDo {
        /// Where they are.
        station: StationId,
    },
}

/// Why everybody should stay.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(
    tag = "because",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
pub enum Stay {
    /// No hands make a process or a pot faster.
    NoHandsHelp {
        /// What sets the finish.
        station: StationId,
    },
    /// The best move gains less than five minutes, or is not sure enough.
    TooLittle {
        /// What it would gain.
        best_gain_min: f64,
    },
    /// Nobody is free to move: limits, seats, or seats just taken.
    NobodyMay {},
    /// Nothing is left to do.
    Finished {},
}

/// A gain without moving anybody.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(
    tag = "win",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
pub enum Win {
    /// Run the short load first: start with so many jars.
    ShortLoadFirst {
        /// The canner station.
        station: StationId,
        /// Of what.
        product: ProductId,
        /// How many jars.
        jars: u32,
        /// Minutes gained.
        gain_min: f64,
    },
    /// Start with what waits.
    StartNow {
        /// The canner station.
        station: StationId,
        /// Of what.
        product: ProductId,
        /// How many jars wait.
        jars: u32,
        /// Minutes gained.
        gain_min: f64,
    },
    /// Wait for a fuller load.
    WaitFor {
        /// The canner station.
        station: StationId,
        /// Of what.
        product: ProductId,
        /// How many jars to wait for.
        jars: u32,
        /// Minutes until they are there.
        wait_min: f64,
        /// Minutes gained against starting now.
        gain_min: f64,
    },
    /// Heat the water now: the first load will be ready by the time it is hot.
    HeatWater {
        /// The canner station.
        station: StationId,
        /// Minutes until jars are there.
        jars_in_min: f64,
    },
    /// Open the next box: the first station runs dry.
    OpenBox {
        /// Of which lot.
        lot: LotId,
        /// For which product.
        product: ProductId,
        /// Minutes until the first station is dry.
        dry_in_min: f64,
    },
    /// Count what waits: it came by a yield nobody has measured, and the finish hangs on it.
    Count {
        /// Where.
        station: StationId,
        /// Of what.
        product: ProductId,
        /// Minutes by which the count can be expected to move what is believed of the work left.
        at_stake_min: f64,
    },
    /// Open no more boxes: they would not be done by the cut-off.
    StopBoxes {
        /// Of which lot.
        lot: LotId,
    },
}

/// What would happen if.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhatIf {
    /// The change.
    #[serde(flatten)]
    pub change: Change,
    /// Minutes the finish would move; below 0 is earlier.
    pub finish_min: f64,
    /// In which share of the simulated days it is earlier.
    pub earlier: f64,
}

/// A change to try.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(
    tag = "if",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
pub enum Change {
    /// One more helper, at the place that gains most.
    OneMoreHelper {
        /// There.
        station: StationId,
    },
    /// One more canner like these.
    OneMoreCanner {
        /// Where.
        station: StationId,
    },
    /// Half of what is not begun is left for another day.
    HalfAsMuch {},
    /// Everybody pauses half an hour now; heat goes on.
    PauseHalfHour {},
}

/// The last moment to open one more box.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LastBox {
    /// By then it can be opened and still be done by the cut-off in nine days of ten; absent when
    /// it is already too late.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open_by: Option<Timestamp>,
    /// When the day ends if one more is opened now.
    pub finish_if_now: Band,
}

/// The present pace against the best possible.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PaceAgainstBest {
    /// Minutes the work left takes at least, however these people share it.
    pub best_min: f64,
    /// Minutes it takes as they sit now (the middle of the forecast).
    pub now_min: f64,
    /// `best_min / now_min`.
    pub share: f64,
}
