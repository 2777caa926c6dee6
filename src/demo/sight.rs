//! The live view as a helper reads it: the parts people act on, out of the JSON every device gets.
//!
//! Not the whole view; what nobody here looks at is left out. Only reads, never guesses.

use crate::day::amount::{Amount, Measure};
use crate::day::event::ChoreKind;
use crate::day::ids::*;
use crate::day::plan::{Carrier, Ending, Nature, Need, Step, Thickness, Verdict, Work};
use crate::day::state::{LoadPhase, Phase, Presence, State};
use crate::day::time::Timestamp;
use crate::day::view;
use crate::trade::Jar;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// What a helper sees of the day.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct Sight {
    pub day: DaySight,
    pub resources: BTreeMap<ResourceId, ResourceSight>,
    pub stations: BTreeMap<StationId, StationSight>,
    pub helpers: BTreeMap<HelperId, HelperSight>,
    pub products: BTreeMap<ProductId, ProductSight>,
    pub lots: BTreeMap<LotId, LotSight>,
    pub supplies: BTreeMap<SupplyId, SupplySight>,
    pub loads: BTreeMap<LoadId, LoadSight>,
    pub chores: BTreeMap<ChoreId, ChoreSight>,
}

/// The day itself.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct DaySight {
    pub phase: Phase,
    pub opened_at: Timestamp,
}

/// A shared thing.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct ResourceSight {
    pub count: u32,
    pub used: u32,
}

/// A station.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct StationSight {
    pub work: Work,
    pub nature: Nature,
    pub needs: BTreeSet<Need>,
    pub occupies: BTreeMap<ResourceId, u32>,
    pub set_up: bool,
    pub seated: BTreeMap<HelperId, SeatSight>,
    pub free: u32,
    pub waiting: BTreeMap<ProductId, WaitingSight>,
    pub done: BTreeMap<ProductId, DoneSight>,
    #[serde(default)]
    pub pots: BTreeMap<PotId, PotSight>,
    #[serde(default)]
    pub canners: BTreeMap<CannerId, CannerSight>,
}

/// A taken seat.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct SeatSight {
    pub since: Timestamp,
    pub beside: Option<HelperId>,
}

/// A queue.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct WaitingSight {
    pub amount: Amount,
    pub carrier: Carrier,
    pub oldest_at: Option<Timestamp>,
    pub lots: BTreeMap<LotId, Amount>,
}

/// A ledger.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct DoneSight {
    pub inside: Amount,
}

/// A pot.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct PotSight {
    pub takes: BTreeMap<Measure, Amount>,
    pub dirty: bool,
    pub product: Option<ProductId>,
    pub amount: Option<Amount>,
    pub started_at: Option<Timestamp>,
    pub done_at: Option<Timestamp>,
    pub stir_at: Option<Timestamp>,
    pub thickness: Option<Thickness>,
    pub minder: Option<HelperId>,
    pub backup: Option<HelperId>,
}

/// A canner.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct CannerSight {
    pub holds: BTreeMap<Jar, u32>,
    pub load: Option<LoadId>,
}

/// A helper.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct HelperSight {
    pub adult: bool,
    pub likes: BTreeSet<Work>,
    pub presence: Presence,
    pub since: Timestamp,
    pub station: Option<StationId>,
    pub beside_of: Vec<HelperId>,
    pub may: BTreeMap<StationId, Verdict>,
}

/// A product.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct ProductSight {
    pub produce: String,
    pub ends_in: Ending,
    pub route: Vec<Step>,
}

/// A lot.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct LotSight {
    pub produce: String,
    pub measure: Measure,
    pub unopened: Amount,
}

/// A stock.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct SupplySight {
    pub stock: Amount,
}

/// A load.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct LoadSight {
    pub station: StationId,
    pub phase: LoadPhase,
    pub jars: BTreeMap<ProductId, BTreeMap<LotId, Amount>>,
    pub built_at: Timestamp,
    pub heated_at: Option<Timestamp>,
    pub done_at: Option<Timestamp>,
    pub rest_until: Option<Timestamp>,
}

/// An open chore.
#[derive(Debug, Clone, Deserialize)]
#[allow(missing_docs, reason = "the fields are those of the view")]
pub struct ChoreSight {
    pub kind: ChoreKind,
    pub raised_at: Timestamp,
    pub taken_by: Option<HelperId>,
}

impl Sight {
    /// What is seen of a day, by way of the JSON that every device gets.
    ///
    /// # Panics
    /// Never: the view is plain JSON and has all that people look at.
    pub fn of(state: &State) -> Sight {
        let text = serde_json::to_string(&view(state)).expect("a view is plain JSON");
        serde_json::from_str(&text).expect("the view has what people look at")
    }

    /// The step of a product at a station.
    pub fn step(&self, product: &ProductId, station: &StationId) -> Option<&Step> {
        let route = &self.products.get(product)?.route;
        route.iter().find(|step| step.station == *station)
    }

    /// What waits of a product at a station.
    pub fn waiting(&self, station: &StationId, product: &ProductId) -> Amount {
        let queue = self
            .stations
            .get(station)
            .and_then(|s| s.waiting.get(product));
        queue.map_or(Amount::ZERO, |queue| queue.amount)
    }

    /// Whether the shared things a station takes are free once more.
    pub fn has_room(&self, station: &StationSight) -> bool {
        station.occupies.iter().all(|(resource, need)| {
            let found = self.resources.get(resource);
            found.is_none_or(|found| found.used + need <= found.count)
        })
    }
}
