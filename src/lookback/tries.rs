//! What to try next time: the lost minutes of the day, the longest first, each with its reasoning.
//!
//! A minute is told of as lost only where something else could have used it: a station that starved
//! between its first and its last work, jars that waited while every canner was in use. Not a
//! promise: one cause hides another, so the minutes of two are never added.

use super::figures::LookBack;
use crate::day::ids::{ProductId, StationId};
use crate::day::time::MINUTE_MS;
use serde::Serialize;

/// How many are told.
const TOLD_MAX: usize = 3;
/// Less than this is not worth a change; common sense, no source.
const WORTH_MS: i64 = 5 * MINUTE_MS;

/// Something to try.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize)]
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
            Advice::MoreHands { .. } => "more-hands",
            Advice::ClearBehind {} => "clear-behind",
        }
    }
}

/// The three with most minutes; the one that comes first in the alphabet on a tie.
pub(super) fn told(back: &LookBack) -> Vec<Try> {
    let mut all: Vec<Try> = Vec::new();
    for (id, station) in &back.stations {
        let loads: Vec<_> = back
            .loads
            .values()
            .filter(|load| load.station == *id)
            .collect();
        let gaps = loads
            .iter()
            .filter(|load| load.canner_idle_before_ms > Some(0));
        let is_canner = !loads.is_empty();
        let taken = if is_canner {
            Advice::AnotherCanner { loads: loads.len() }
        } else {
            Advice::AnotherPot {}
        };
        // Gaps of a canner are its starving and waiting; they are told once.
        let (between, starved) = if is_canner {
            (station.between_loads_ms, 0)
        } else {
            (0, station.starved_between_ms)
        };
        let unstaffed = if is_canner { 0 } else { station.unstaffed_ms };
        let found = [
            (Advice::LoadSooner { gaps: gaps.count() }, between),
            (taken, station.all_taken_ms),
            (Advice::FeedSooner {}, starved),
            (
                Advice::MoreHands {
                    product: longest(back, id),
                },
                unstaffed,
            ),
            (Advice::ClearBehind {}, station.blocked_ms),
        ];
        let ready_ms = back.open_ms - station.put_away_ms;
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

/// The product that waited longest at a station, by its mean stay.
fn longest(back: &LookBack, station: &StationId) -> Option<ProductId> {
    let stays = back.flows.iter().filter_map(|(product, flow)| {
        let stage = flow.stages.iter().find(|stage| stage.station == *station)?;
        (stage.stay > 0).then_some((stage.mean_stay_min, product))
    });
    let longest = stays.max_by(|one, other| one.0.total_cmp(&other.0));
    longest.map(|(_, product)| product.clone())
}
