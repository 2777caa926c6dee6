//! What to try next time: the lost minutes of the day, the longest first, each with its reasoning.
//!
//! A minute is told of as lost only where something else could have used it: a station that starved
//! between its first and its last work, jars that waited while every canner was in use. Not a
//! promise: one cause hides another, so the minutes of two are never added.

use super::figures::{LookBack, StationTold};
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Nature;
use crate::day::state::{State, StationState};
use crate::day::time::MINUTE_MS;
use schemars::JsonSchema;
use serde::Serialize;

/// How many are told.
const TOLD_MAX: usize = 3;
/// Less than this is not worth a change; common sense, no source.
const WORTH_MS: i64 = 5 * MINUTE_MS;

/// Something to try.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Try {
    /// What.
    #[serde(flatten)]
    pub what: Advice,
    /// At which station.
    pub station: StationId,
    /// The milliseconds that speak for it.
    pub ms: i64,
    /// The time the station stood ready, beside which they are to be seen.
    pub ready_ms: i64,
}

/// A change, with what was seen besides its minutes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(
    tag = "try",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case"
)]
pub enum Advice {
    /// Canners stood idle between loads: have the next load filled when one is lifted.
    LoadSooner {
        /// How many such gaps there were.
        gaps: usize,
    },
    /// Jars waited while every canner was in use: a second canner, or an earlier first load.
    AnotherCanner {
        /// Loads of the day.
        loads: usize,
    },
    /// Fruit waited while every pot was in use: another pot.
    AnotherPot {},
    /// It had nothing to do between its first and last work: more hands before it.
    FeedSooner {},
    /// The same where work comes out of boxes: open the next one sooner.
    OpenSooner {},
    /// Food waited and no pot was on the heat: put one on sooner.
    CookSooner {},
    /// Work waited and nobody sat there: a seat filled sooner, or another order of the day.
    MoreHands {
        /// What waited the longest on average, if anything did.
        #[serde(skip_serializing_if = "Option::is_none")]
        product: Option<ProductId>,
    },
    /// Work could go nowhere: more room, jars or lids behind it.
    ClearBehind {},
}

impl Advice {
    /// Its name, as in JSON.
    pub fn name(&self) -> &'static str {
        match self {
            Advice::LoadSooner { .. } => "load-sooner",
            Advice::AnotherCanner { .. } => "another-canner",
            Advice::AnotherPot {} => "another-pot",
            Advice::FeedSooner {} => "feed-sooner",
            Advice::OpenSooner {} => "open-sooner",
            Advice::CookSooner {} => "cook-sooner",
            Advice::MoreHands { .. } => "more-hands",
            Advice::ClearBehind {} => "clear-behind",
        }
    }
}

/// The three with most minutes; the one that comes first in the alphabet on a tie.
pub(super) fn told(state: &State, back: &LookBack) -> Vec<Try> {
    let mut all: Vec<Try> = Vec::new();
    for (id, one) in &back.stations {
        let Some(station) = state.stations.get(id) else {
            continue;
        };
        let ready_ms = back.open_ms - one.put_away_ms;
        let found = speaks(state, back, (id, station), one);
        for (what, ms) in found.into_iter().filter(|(_, ms)| *ms >= WORTH_MS) {
            let station = id.clone();
            all.push(Try {
                what,
                station,
                ms,
                ready_ms,
            });
        }
    }
    all.sort_by(|one, other| other.ms.cmp(&one.ms).then(one.station.cmp(&other.station)));
    all.truncate(TOLD_MAX);
    all
}

/// What could be said of a station, with the milliseconds that speak for it.
fn speaks(
    state: &State,
    back: &LookBack,
    (id, station): (&StationId, &StationState),
    one: &StationTold,
) -> Vec<(Advice, i64)> {
    let blocked = (Advice::ClearBehind {}, one.blocked_ms);
    match station.plan.nature {
        Nature::Hand {} => {
            let product = longest(back, id);
            vec![
                (feed(state, id), one.starved_between_ms),
                (Advice::MoreHands { product }, one.unstaffed_ms),
                blocked,
            ]
        }
        Nature::Vessel { .. } => vec![
            (feed(state, id), one.starved_between_ms),
            (Advice::CookSooner {}, one.unstaffed_ms),
            (Advice::AnotherPot {}, one.all_taken_ms),
        ],
        // Gaps of a canner are its starving and its waiting; they are told once.
        Nature::Canner { .. } => {
            let here = || back.loads.values().filter(|load| load.station == *id);
            let gaps = here().filter(|load| load.canner_idle_before_ms > Some(0));
            vec![
                (
                    Advice::LoadSooner { gaps: gaps.count() },
                    one.between_loads_ms,
                ),
                (
                    Advice::AnotherCanner {
                        loads: here().count(),
                    },
                    one.all_taken_ms,
                ),
                blocked,
            ]
        }
        // Things only stand there.
        Nature::Hold { .. } => Vec::new(),
    }
}

/// How work comes sooner to a station: out of a box, or from those before it.
fn feed(state: &State, station: &StationId) -> Advice {
    let mut products = state.products.values();
    let is_first = products.any(|product| {
        let first = product.plan.route.first();
        first.is_some_and(|step| step.station == *station)
    });
    if is_first {
        Advice::OpenSooner {}
    } else {
        Advice::FeedSooner {}
    }
}

/// The product that waited longest at a station, by its mean stay.
fn longest(back: &LookBack, station: &StationId) -> Option<ProductId> {
    let stays = back.flows.iter().filter_map(|(product, flow)| {
        let stage = flow.stages.iter().find(|stage| stage.station == *station)?;
        (stage.stay > 0).then_some((stage.mean_stay_min, product))
    });
    let longest = stays.max_by(|one, other| one.0.total_cmp(&other.0));
    longest.map(|(_, product)| product.clone())
}
