//! The plan of the kitchen in the shape that watching it needs: for each station what can be
//! worked there, where it goes and what it draws on.
//!
//! Made anew when the plan changes, so that an event costs no walk through the routes.

use crate::day::amount::Amount;
use crate::day::event::{Event, Onward};
use crate::day::ids::{ProductId, StationId, SupplyId};
use crate::day::plan::{Ending, Nature, Step};
use crate::day::state::State;
use std::collections::{BTreeMap, BTreeSet};

/// All stations.
#[derive(Debug, Clone, Default)]
pub(super) struct Layout {
    pub(super) stations: BTreeMap<StationId, Vec<Stop>>,
    /// For each canner station how many canners it has, and the jars of a full load by product.
    pub(super) canners: BTreeMap<StationId, (f64, Vec<(ProductId, f64)>)>,
}

/// A product at a station. Amounts are in the measure of its step.
#[derive(Debug, Clone)]
pub(super) struct Stop {
    pub(super) product: ProductId,
    /// One carrier.
    pub(super) holds: f64,
    /// The least that is worked on by itself: one package, where packages are made.
    pub(super) least: f64,
    /// What goes on of one carrier.
    pub(super) made: f64,
    /// For each way on, the hold it leads to with its room; `None` where there is always room.
    pub(super) doors: Vec<Option<(StationId, f64)>>,
    /// What one carrier draws of the supplies.
    pub(super) draws: Vec<(SupplyId, f64)>,
    /// A full load; 0 but at a canner.
    pub(super) load: f64,
    /// The canners that what is made here waits for.
    pub(super) canner: Option<StationId>,
    /// Every place from which work may still come here.
    pub(super) feeders: Vec<(StationId, ProductId)>,
}

/// An amount as a plain number of its measure.
pub(super) fn plain(amount: Amount) -> f64 {
    amount.0 as f64 / 1000.0
}

/// Whether an event changes the plan.
pub(super) fn changes_plan(event: &Event) -> bool {
    matches!(
        event,
        Event::DayOpened { .. }
            | Event::StationAdded { .. }
            | Event::StationChanged { .. }
            | Event::ProductAdded { .. }
            | Event::ProductChanged { .. }
    )
}

impl Layout {
    /// The plan as it stands.
    pub(super) fn of(state: &State) -> Layout {
        let mut stations: BTreeMap<StationId, Vec<Stop>> = BTreeMap::new();
        for id in state.stations.keys() {
            stations.insert(id.clone(), Vec::new());
        }
        for (product, found) in &state.products {
            for step in &found.plan.route {
                let stop = stop(state, product, step);
                stations.entry(step.station.clone()).or_default().push(stop);
            }
        }
        let before = before(state);
        for (station, stops) in &mut stations {
            for stop in stops {
                stop.feeders = all_before(&before, (station.clone(), stop.product.clone()));
            }
        }
        let canners = state.stations.iter().filter_map(|(id, found)| {
            let Nature::Canner { canners, .. } = &found.plan.nature else {
                return None;
            };
            let stops = stations.get(id).into_iter().flatten();
            let jars = stops.map(|stop| (stop.product.clone(), stop.load));
            Some((id.clone(), (canners.len() as f64, jars.collect())))
        });
        let canners = canners.collect();
        Layout { stations, canners }
    }

    /// The stop of a product at a station.
    pub(super) fn stop(&self, station: &StationId, product: &ProductId) -> Option<&Stop> {
        let stops = self.stations.get(station)?;
        stops.iter().find(|stop| stop.product == *product)
    }
}

type At = (StationId, ProductId);

/// For each place those from which work comes at once.
fn before(state: &State) -> BTreeMap<At, Vec<At>> {
    let mut before: BTreeMap<At, Vec<At>> = BTreeMap::new();
    for (product, found) in &state.products {
        for step in &found.plan.route {
            let from = (step.station.clone(), product.clone());
            for way in state.ways_on(product, step) {
                if let Onward::Step { product, station } = way {
                    before
                        .entry((station, product))
                        .or_default()
                        .push(from.clone());
                }
            }
        }
    }
    before
}

/// Those places, those before them and so on.
fn all_before(before: &BTreeMap<At, Vec<At>>, at: At) -> Vec<At> {
    let mut found: BTreeSet<At> = BTreeSet::new();
    let mut open = vec![at];
    while let Some(at) = open.pop() {
        for place in before.get(&at).into_iter().flatten() {
            if found.insert(place.clone()) {
                open.push(place.clone());
            }
        }
    }
    found.into_iter().collect()
}

fn stop(state: &State, product: &ProductId, step: &Step) -> Stop {
    let holds = plain(step.carrier.holds).max(1e-3);
    let yields = step.yields.made as f64 / step.yields.from as f64;
    let made = holds * yields;
    let counted = state
        .measure_after(product, step)
        .is_some_and(|measure| measure.is_counted());
    // Near enough to a whole package counts as one, as for tallies.
    let least = if counted && yields > 0.0 {
        0.95 / yields
    } else {
        0.1 * holds
    };
    let doors = state
        .ways_on(product, step)
        .into_iter()
        .map(|way| match way {
            Onward::Step { station, .. } => room(state, station),
            Onward::Finished {} | Onward::Stock { .. } => None,
        });
    let draws = step
        .draws
        .iter()
        .map(|(supply, each)| (supply.clone(), plain(*each) * made));
    Stop {
        product: product.clone(),
        holds,
        least: least.min(holds),
        made,
        doors: doors.collect(),
        draws: draws.collect(),
        load: load(state, product, step),
        canner: canner(state, product, step),
        feeders: Vec::new(),
    }
}

fn canner(state: &State, product: &ProductId, step: &Step) -> Option<StationId> {
    let mut ways = state.ways_on(product, step).into_iter();
    ways.find_map(|way| match way {
        Onward::Step { station, .. } => {
            let nature = &state.stations.get(&station)?.plan.nature;
            matches!(nature, Nature::Canner { .. }).then_some(station)
        }
        Onward::Finished {} | Onward::Stock { .. } => None,
    })
}

fn room(state: &State, station: StationId) -> Option<(StationId, f64)> {
    let Nature::Hold { capacity } = &state.stations.get(&station)?.plan.nature else {
        return None;
    };
    capacity.map(|capacity| (station, plain(capacity)))
}

/// Jars of a product in a full load of the largest canner of its station.
fn load(state: &State, product: &ProductId, step: &Step) -> f64 {
    let station = state.stations.get(&step.station);
    let plan = state.products.get(product).map(|found| &found.plan);
    let (Some(station), Some(plan)) = (station, plan) else {
        return 0.0;
    };
    let (Nature::Canner { canners, .. }, Ending::Canned { jar, .. }) =
        (&station.plan.nature, &plan.ends_in)
    else {
        return 0.0;
    };
    let holds = canners.values().filter_map(|canner| canner.holds.get(jar));
    holds.max().map_or(0.0, |jars| f64::from(*jars))
}
