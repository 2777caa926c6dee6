//! The day as it stands: what [`super::apply`] has built from the events.
//!
//! Nothing here decides or changes; the questions on it are read-only. Its JSON is kept in
//! snapshots, so a change of shape needs a new [`STATE_VERSION`].

use super::amount::{Amount, Measure};
use super::command::{CheckedJars, LoadJars, NoteOn, Place, ShortFate, SupplyAmounts};
use super::event::{ChoreKind, LoadPart, LoadProcess, Onward, Part, Portion};
use super::flow::{Flow, Lots};
use super::ids::*;
use super::plan::*;
use super::time::Timestamp;
use crate::trade::Method;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use uuid::Uuid;

/// The version of [`State`]'s stored shape.
pub const STATE_VERSION: u32 = 1;

/// How many tallies of a station can be taken back.
pub const TALLIES_KEPT: usize = 20;

/// Where a day is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
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
    /// Stocks, the retired ones too.
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
    /// What was drawn from the stocks.
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
    /// What of it went into stocks.
    pub stocked: Amount,
}

/// A stock as it stands.
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

/// Where a load is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadPhase {
    /// Jars go in.
    Loading,
    /// Coming to the boil or to pressure.
    Heating,
    /// Steam drives the air out of a pressure canner.
    Venting,
    /// The time runs.
    Timing,
    /// Heat off, lid off.
    Resting,
    /// The jars are out.
    Lifted,
    /// Taken apart before any heat.
    Cancelled,
}

/// Jars in a canner together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// At which station.
    pub station: StationId,
    /// In which canner there.
    pub canner: CannerId,
    /// Where it is.
    pub phase: LoadPhase,
    /// Its jars.
    pub jars: Vec<LoadPart>,
    /// Its process.
    pub process: LoadProcess,
    /// When it was built.
    pub built_at: Timestamp,
    /// When the heat went on.
    pub heated_at: Option<Timestamp>,
    /// When venting began; only in a pressure canner.
    pub vented_at: Option<Timestamp>,
    /// When the time that counts began; `None` while it does not run.
    pub boil_at: Option<Timestamp>,
    /// Milliseconds since then of which nobody knows what they were; they count for nothing.
    pub unknown_ms: i64,
    /// Earlier starts that count for nothing, with the moment the boil was lost.
    pub lost: Vec<(Timestamp, Timestamp)>,
    /// When the heat went off.
    pub heat_off_at: Option<Timestamp>,
    /// When the pressure had come to zero; only in a pressure canner.
    pub zero_at: Option<Timestamp>,
    /// Whether its time was not full: its jars are not for the shelf.
    pub short: bool,
    /// When the jars came out.
    pub lifted_at: Option<Timestamp>,
    /// What broke.
    pub broken: Vec<LoadJars>,
    /// What became of jars whose time was not full.
    pub fate: Option<ShortFate>,
    /// How its jars were found at the seal checks, each with its moment and its lot.
    pub checked: Vec<(Timestamp, CheckedJars)>,
}

impl Load {
    /// When its time is over, while it runs.
    pub fn done_at(&self) -> Option<Timestamp> {
        let boil_at = self.boil_at?;
        let counted = boil_at.plus_minutes(self.process.tested.minutes);
        Some(Timestamp(counted.0.saturating_add(self.unknown_ms)))
    }

    /// How many jars.
    pub fn jar_count(&self) -> Amount {
        self.jars.iter().map(|part| part.portion.amount()).sum()
    }

    /// Whether its canner is taken by it.
    pub fn is_in_canner(&self) -> bool {
        !matches!(self.phase, LoadPhase::Lifted | LoadPhase::Cancelled)
    }

    /// Whether its canner is on the heat.
    pub fn is_on_heat(&self) -> bool {
        let hot = [LoadPhase::Heating, LoadPhase::Venting, LoadPhase::Timing];
        hot.contains(&self.phase)
    }

    /// Whether it is processed under pressure.
    pub fn is_pressure(&self) -> bool {
        let method = self.process.tested.method;
        matches!(method, Method::PressureDial | Method::PressureWeighted)
    }

    /// The jars of it that stand on the rack with their seals unchecked, by product and lot.
    pub fn unchecked(&self) -> BTreeMap<(&ProductId, &LotId), Amount> {
        let mut left: BTreeMap<(&ProductId, &LotId), Amount> = BTreeMap::new();
        if self.phase != LoadPhase::Lifted || self.short {
            return left;
        }
        for part in &self.jars {
            let key = (&part.product, &part.portion.lot);
            *left.entry(key).or_default() += part.portion.amount();
        }
        let broken = self
            .broken
            .iter()
            .map(|jars| (&jars.product, jars.lot.as_ref(), u64::from(jars.jars)));
        let checked = self
            .checked
            .iter()
            .map(|(_, jars)| (&jars.product, jars.lot.as_ref(), jars.total()));
        for (product, lot, count) in broken.chain(checked) {
            let mut gone = Amount::whole(i64::try_from(count).unwrap_or(i64::MAX / 1000));
            for ((of, from), stands) in &mut left {
                if *of == product && lot.is_none_or(|lot| lot == *from) {
                    let taken = gone.at_most(*stands);
                    *stands -= taken;
                    gone -= taken;
                }
            }
        }
        left.retain(|_, stands| *stands > Amount::ZERO);
        left
    }

    /// How many of its jars of a product and lot went to the shelf.
    pub fn sealed(&self, product: &ProductId, lot: &LotId) -> Amount {
        let of = self
            .checked
            .iter()
            .filter(|(_, jars)| jars.product == *product && jars.lot.as_ref() == Some(lot));
        of.map(|(_, jars)| Amount::whole(i64::from(jars.sealed)))
            .sum()
    }
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

impl State {
    /// The step of a product at a station.
    pub fn step(&self, product: &ProductId, station: &StationId) -> Option<&Step> {
        let route = &self.products.get(product)?.plan.route;
        route.iter().find(|step| step.station == *station)
    }

    /// Whether a station lies behind the canner on a canned product's route: what stands there
    /// came out of a load, and nothing else may.
    pub fn is_after_canner(&self, product: &ProductId, station: &StationId) -> bool {
        let Some(plan) = self.products.get(product).map(|state| &state.plan) else {
            return false;
        };
        self.canner_step(plan).is_some_and(|canner| {
            let step = plan.route.iter().position(|step| step.station == *station);
            step.is_some_and(|step| step > canner)
        })
    }

    /// The place of the canner on a canned product's route.
    pub fn canner_step(&self, plan: &Product) -> Option<usize> {
        let canner = |step: &Step| {
            let station = self.stations.get(&step.station);
            station.is_some_and(|found| matches!(found.plan.nature, Nature::Canner { .. }))
        };
        matches!(plan.ends_in, Ending::Canned { .. })
            .then(|| plan.route.iter().position(canner))
            .flatten()
    }

    /// The ledgers of a product at a station, lot by lot.
    pub fn lots_at(&self, station: &StationId, product: &ProductId) -> Option<&Lots> {
        self.flows.get(station)?.get(product)
    }

    /// What waits of a product at a station.
    pub fn waiting_at(&self, station: &StationId, product: &ProductId) -> Amount {
        self.lots_at(station, product)
            .map_or(Amount::ZERO, super::flow::waiting)
    }

    /// One ledger.
    pub fn flow(&self, station: &StationId, product: &ProductId, lot: &LotId) -> Option<&Flow> {
        self.lots_at(station, product)?.get(lot)
    }

    /// Every ledger with its station, product and lot.
    pub fn all_flows(&self) -> impl Iterator<Item = (&StationId, &ProductId, &LotId, &Flow)> {
        self.flows.iter().flat_map(|(station, products)| {
            products.iter().flat_map(move |(product, lots)| {
                lots.iter()
                    .map(move |(lot, flow)| (station, product, lot, flow))
            })
        })
    }

    /// What the step's work goes on as: the measure of the next step or of the package.
    pub fn measure_after(&self, product: &ProductId, step: &Step) -> Option<Measure> {
        match self.ways_on(product, step).first()? {
            Onward::Step { product, station } => {
                self.step(product, station).map(|next| next.measure)
            }
            Onward::Finished {} | Onward::Stock { .. } => {
                self.products.get(product)?.plan.ends_in.package()
            }
        }
    }

    /// Every way on from a step, in order.
    pub fn ways_on(&self, product: &ProductId, step: &Step) -> Vec<Onward> {
        if !step.onward.is_empty() {
            let way = |branch: &Branch| Onward::Step {
                product: branch.product.clone(),
                station: branch.station.clone(),
            };
            return step.onward.iter().map(way).collect();
        }
        let Some(plan) = self.products.get(product).map(|state| &state.plan) else {
            return Vec::new();
        };
        let mut later = plan.route.iter().skip_while(|s| s.station != step.station);
        later.next();
        match (later.next(), &plan.ends_in) {
            (Some(next), _) => vec![Onward::Step {
                product: product.clone(),
                station: next.station.clone(),
            }],
            (None, Ending::Stocked { supply, .. }) => vec![Onward::Stock {
                supply: supply.clone(),
            }],
            (None, Ending::Shared {}) => Vec::new(),
            (None, Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. }) => {
                vec![Onward::Finished {}]
            }
        }
    }

    /// Finished packages of a product.
    pub fn finished(&self, product: &ProductId) -> Amount {
        let found = self.products.get(product);
        found.map_or(Amount::ZERO, |found| found.finished.values().copied().sum())
    }

    /// Packages of a product that came out of a canner and are not finished.
    pub fn cooling(&self, product: &ProductId) -> Amount {
        let route = self.products.get(product).map(|found| &found.plan.route);
        let stations = route.into_iter().flatten().map(|step| &step.station);
        stations
            .filter(|station| self.is_after_canner(product, station))
            .map(|station| self.waiting_at(station, product))
            .sum()
    }

    /// How many of a shared thing are in use.
    pub fn resource_used(&self, resource: &ResourceId) -> u32 {
        let runs = self.stations.iter().map(|(id, station)| {
            let each = station
                .plan
                .occupies
                .get(resource)
                .copied()
                .unwrap_or_default();
            each.saturating_mul(self.running(id, station))
        });
        runs.fold(0, u32::saturating_add)
    }

    /// How many times over a station runs now: seats taken, pots cooking, a canner on the heat.
    fn running(&self, id: &StationId, station: &StationState) -> u32 {
        let count = match station.plan.nature {
            Nature::Hand {} => usize::from(!station.seats.is_empty()),
            Nature::Vessel { .. } => {
                let cooking = |pot: &&PotState| {
                    pot.batch
                        .as_ref()
                        .is_some_and(|batch| batch.cooking.is_some())
                };
                station.pots.values().filter(cooking).count()
            }
            Nature::Canner { .. } => {
                let on_heat = |(_, load): &(&LoadId, &Load)| load.is_on_heat();
                self.loads_at(id).filter(on_heat).count()
            }
            Nature::Hold { .. } => 0,
        };
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// The load in a canner now.
    pub fn load_in(&self, station: &StationId, canner: &CannerId) -> Option<(&LoadId, &Load)> {
        self.loads_at(station)
            .find(|(_, load)| load.canner == *canner)
    }

    /// The loads in the canners of a station now.
    pub fn loads_at(&self, station: &StationId) -> impl Iterator<Item = (&LoadId, &Load)> {
        let here = move |load: &Load| load.station == *station && load.is_in_canner();
        self.loads.iter().filter(move |(_, load)| here(load))
    }

    /// Everything that stands at a hold station, over its products.
    pub fn standing_at(&self, station: &StationId) -> Amount {
        let products = self.flows.get(station).into_iter().flatten();
        products.map(|(_, lots)| super::flow::waiting(lots)).sum()
    }

    /// Whose seat or pot depends on this adult: children they stay beside.
    pub fn children_beside(&self, adult: &HelperId) -> Vec<(&StationId, &HelperId)> {
        let seats = self.stations.iter().flat_map(|(station, state)| {
            state
                .seats
                .iter()
                .map(move |(child, seat)| (station, child, seat))
        });
        seats
            .filter(|(_, _, seat)| seat.beside.as_ref() == Some(adult))
            .map(|(station, child, _)| (station, child))
            .collect()
    }

    /// Cooking pots a helper minds.
    pub fn pots_minded(&self, helper: &HelperId) -> Vec<(&StationId, &PotId, &Cooking)> {
        let pots = self.stations.iter().flat_map(|(station, state)| {
            state.pots.iter().filter_map(move |(pot, state)| {
                let cooking = state.batch.as_ref()?.cooking.as_ref()?;
                Some((station, pot, cooking))
            })
        });
        pots.filter(|(_, _, cooking)| cooking.minder.as_ref() == Some(helper))
            .collect()
    }

    /// The household's rule for ages.
    pub fn age_rules(&self) -> AgeRules {
        self.age_rules.clone().unwrap_or_else(AgeRules::usual)
    }

    /// A station's name, or its id.
    pub fn station_name(&self, id: &StationId) -> String {
        self.stations
            .get(id)
            .map_or_else(|| id.to_string(), |station| station.plan.name.clone())
    }

    /// A helper's name, or their id.
    pub fn helper_name(&self, id: &HelperId) -> String {
        self.helpers
            .get(id)
            .map_or_else(|| id.to_string(), |helper| helper.plan.name.clone())
    }

    /// A product's name, or its id.
    pub fn product_name(&self, id: &ProductId) -> String {
        self.products
            .get(id)
            .map_or_else(|| id.to_string(), |product| product.plan.name.clone())
    }

    /// Whether anything waits or stands inside at this place.
    pub fn is_busy(&self, place: &Place) -> bool {
        let lots = self.lots_at(&place.station, &place.product);
        lots.into_iter()
            .flat_map(|lots| lots.values())
            .any(|flow| flow.waiting() != Amount::ZERO || flow.inside != Amount::ZERO)
    }
}
